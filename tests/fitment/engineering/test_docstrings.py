"""Every public engineering function says units, limits and source, and its example runs."""

import ast
import doctest
import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fitment import engineering

MODULES = [
    importlib.import_module(f"{engineering.__name__}.{module.name}")
    for module in pkgutil.iter_modules(engineering.__path__)
]
UNITS = re.compile(
    r"\b(mm|um|micrometres?|N|MPa|N/mm|mm/kN|degC|degrees?|deg|kg|per K|without unit|units?|cars|days?)\b"
)
SECTIONS = ("Args", "Returns", "Notes", "References")


def public_functions() -> Iterator[Callable[..., object]]:
    for module in MODULES:
        for name, value in vars(module).items():
            function = inspect.unwrap(value) if callable(value) else value
            if inspect.isfunction(function) and function.__module__ == module.__name__ and name[0] != "_":
                yield function


FUNCTIONS = list(public_functions())


def described(function: Callable[..., object]) -> str:
    return inspect.getdoc(function) or ""


def imported_by_others() -> set[tuple[str, str]]:
    """Every name that a module of the house or a test takes from a module of engineering, which is not its own."""
    house = Path(engineering.__file__).parents[2]
    found = set()
    for room in ("api", "fitment", "tests"):
        for path in (house / room).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text())):
                if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(engineering.__name__):
                    found |= {(str(node.module), alias.name) for alias in node.names}
    return found


def test_public_are_the_functions_that_others_call_and_no_helper():
    public = {(function.__module__, function.__name__) for function in FUNCTIONS}
    taken = imported_by_others()
    assert len(public) > 30
    assert public <= taken
    assert not {name for module, name in taken if name.startswith("_")}


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: f"{function.__module__}.{function.__name__}")
class TestEveryPublicFunction:
    def test_has_every_section(self, function):
        text = described(function)
        lacking = [name for name in SECTIONS if not re.search(rf"^{name}:(?: \S|\n +\S)", text, re.MULTILINE)]
        assert not lacking, f"{function.__name__} says nothing under {lacking}"

    def test_says_its_units(self, function):
        assert UNITS.search(described(function)), f"{function.__name__} names no unit"

    def test_names_every_parameter(self, function):
        listed = described(function).partition("Args:\n")[2].partition("Returns:")[0]
        for name in inspect.signature(function).parameters:
            assert re.search(rf"^ +.*\b{name}\b.*: \S", listed, re.MULTILINE), f"{function.__name__}: {name}?"

    def test_names_a_source_outside_the_project(self, function):
        source = described(function).partition("References:")[2].partition(">>>")[0]
        assert re.search(r"[A-Z]", source)
        assert "project" not in source

    def test_has_an_example(self, function):
        assert doctest.DocTestParser().get_examples(described(function)), f"{function.__name__} has no example"

    def test_says_what_it_raises(self, function):
        raised = set(re.findall(r"raise (\w+)\(", inspect.getsource(function)))
        text = described(function)
        assert not {name for name in raised if name not in text}


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_examples_run(module):
    flags = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE
    assert doctest.testmod(module, optionflags=flags).failed == 0


def test_a_function_without_description_is_found():
    def bare(size: float) -> float:
        return size

    checks = TestEveryPublicFunction()
    for check in (checks.test_has_every_section, checks.test_says_its_units, checks.test_has_an_example):
        with pytest.raises(AssertionError):
            check(bare)
