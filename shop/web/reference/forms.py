"""Forms of the reference: published tables and the catalogue."""

from shop.catalogue.models import Fluid, Hose
from shop.catalogue.services import save_fluid, save_hose
from shop.people.models import User
from shop.web.registers.forms import RatedForm, RegisterForm


class FluidForm(RegisterForm):
    """A fluid."""

    class Meta(RegisterForm.Meta):
        model = Fluid
        fields = ["name"]

    def write(self, *, actor: User, sure: frozenset[str]) -> Fluid:
        return save_fluid(actor=actor, fluid=self.instance)


class HoseForm(RatedForm):
    """A maker's hose."""

    class Meta(RatedForm.Meta):
        model = Hose
        fields = [
            "maker",
            "designation",
            "dash",
            "bore",
            "outside_diameter",
            "standard",
            "rating",
            "source",
            "proof_printed",
            "bend_radius",
            "temperature_min_c",
            "temperature_max_c",
            "fluids",
            "least_between_ferrules",
        ]

    def write(self, *, actor: User, sure: frozenset[str]) -> Hose:
        return save_hose(actor=actor, hose=self.instance, fluids=self.cleaned_data["fluids"])
