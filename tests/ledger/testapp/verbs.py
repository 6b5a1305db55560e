from shop.ledger.registry import register_verb
from tests.ledger.testapp.models import Loss, Wear

KEPT = register_verb("drawer.kept", "entered in the drawer's list")
TURNED = register_verb("drawer.turned", "turned over")
WORN = register_verb("drawer.worn", "looked at for wear", record=Wear)
LOST = register_verb("drawer.lost", "reported missing", record=Loss)
