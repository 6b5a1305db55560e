"""What keeps a double tap, a resend or the back button from doing a step twice."""

from django.conf import settings
from django.db import models


class Submission(models.Model):
    """One form sent from the bench: the same again gets the same answer, another one is refused."""

    nonce = models.UUIDField(primary_key=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    step = models.CharField(max_length=40)
    subject = models.CharField(max_length=60)
    payload_hash = models.CharField(max_length=64)
    made_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"{self.step} of {self.subject}"
