"""What people do to the workshop's own choices."""

from shop.ledger.registry import register_verb
from shop.policy.models import Policy

WORKSHOP_STARTED = register_verb("policy.workshop_started", "started the workshop's book")
WORKSHOP_SAVED = register_verb("policy.workshop_saved", "changed the workshop's entry")
POLICY_SET = register_verb("policy.set", "set a policy", record=Policy)
