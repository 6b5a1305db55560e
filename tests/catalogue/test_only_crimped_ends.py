"""The program is for crimped ends: whatever else holds an end is refused by name."""

import pytest
from django.core.exceptions import ValidationError

from shop.catalogue.models import Attachment, FittingSeries
from shop.catalogue.services import save_series
from tests.world import World


@pytest.mark.parametrize("attachment", [a for a in Attachment if a is not Attachment.CRIMPED])
def test_a_series_that_is_not_crimped_is_refused(world: World, attachment: Attachment) -> None:
    series = FittingSeries(maker="Ostrava Ends", name="Other", attachment=attachment)
    with pytest.raises(ValidationError, match="Only crimped ends are made") as refused:
        save_series(actor=world.counter, series=series)
    assert "screwed or pushed on, swaged or welded" in str(refused.value)
