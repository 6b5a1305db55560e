"""From a code to the thing that carries it."""

from collections.abc import Mapping

from django.apps import apps

from shop.core.labels import Labelled
from shop.engineering.codes import read_code
from shop.engineering.errors import NotUnderstood
from shop.trace.refusals import CodeMistyped, CodeUnknown


def labelled_kinds() -> Mapping[str, type[Labelled]]:
    """The kinds of things that carry a code, by the letter that their codes begin with."""
    return {
        model.KIND_LETTER: model
        for model in apps.get_models()
        if issubclass(model, Labelled) and not model._meta.proxy
    }


def find_labelled(code_text: str) -> Labelled:
    """The thing whose code this is: typed in any case, with O for 0, or a whole address from a tag.

    Raises `CodeMistyped` if it can't be a code, `CodeUnknown` if no thing has it.
    """
    try:
        code = read_code(code_text)
    except NotUnderstood as error:
        raise CodeMistyped(why=str(error)) from error
    model = labelled_kinds().get(code.kind)
    found = None if model is None else model._default_manager.filter(code=code.text).first()
    if found is None:
        raise CodeUnknown(code=code.text)
    return found
