"""The house itself: each thing said once, and small enough to be learned."""

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import settings

from catalog import codes

APPS = ("config", "catalog", "fitment", "api")
LONG = 350  # lines; a longer module says in its docstring why it is
ONE_NAME = {"Command", "Meta", "Migration"}  # what Django asks for by this name
SOURCES = sorted(path for app in APPS for path in (settings.ROOT / app).rglob("*.py") if "migrations" not in path.parts)
NAMES = [str(path.relative_to(settings.ROOT)) for path in SOURCES]
TREES = {name: ast.parse(path.read_text()) for name, path in zip(NAMES, SOURCES, strict=True)}
ENUMERATIONS = {
    frozenset(each.values): each.__name__
    for each in vars(codes).values()
    if isinstance(each, type) and issubclass(each, codes.Code) and len(each) > 1
}


def room(name: str) -> str:
    """The app and the folder below it."""
    return "/".join(Path(name).parts[:2])


def test_a_class_name_means_one_thing():
    """A frozen fact of `fitment/domain` has the name of the model it is read from; no other name stands twice."""
    found: dict[str, list[str]] = defaultdict(list)
    for name, tree in TREES.items():
        for node in tree.body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_") and node.name not in ONE_NAME:
                found[node.name].append(name)
    twice = {
        each: names
        for each, names in found.items()
        if len([one for one in names if not one.startswith("fitment/domain/")]) > 1
        or (len(names) > 1 and not any("/models/" in one for one in names))
    }
    assert not twice


def written_again(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Lines on which all values of an enumeration stand as texts."""
    for node in ast.walk(tree):
        match node:
            case ast.Tuple(elts=items) | ast.List(elts=items) | ast.Set(elts=items) | ast.Dict(keys=items):
                texts = [item.value for item in items if isinstance(item, ast.Constant) and isinstance(item.value, str)]
                if len(texts) == len(items) and (which := ENUMERATIONS.get(frozenset(texts))):
                    yield node.lineno, which


@pytest.mark.parametrize("name", [name for name in NAMES if name != "catalog/codes.py"])
def test_an_enumeration_is_not_written_again(name):
    assert not list(written_again(TREES[name]))


@pytest.mark.parametrize("name", NAMES)
def test_a_long_module_says_why(name):
    lines = len((settings.ROOT / name).read_text().splitlines())
    assert lines <= LONG or "long" in (ast.get_docstring(TREES[name]) or "")


@pytest.mark.parametrize("name", NAMES)
def test_the_formatter_keeps_every_line(name):
    assert "fmt: skip" not in (settings.ROOT / name).read_text()


def test_the_looks_see_what_they_look_for():
    again = ast.parse('ENDS = ("rear", "front")\nWORDS = {"yes": 1, "no": 2}\nOTHER = ("front", "middle")')
    assert list(written_again(again)) == [(1, "End"), (2, "YesNo")]


def test_the_map_names_every_module_with_what_it_is_for():
    """DEVELOPERS.md has a row a folder, below it a row a module with the first sentence of its docstring."""
    rows = [line for line in (settings.ROOT / "DEVELOPERS.md").read_text().splitlines() if line.startswith("| ")]
    folder, mapped = "", {}
    for row in rows:
        first, about = row.strip("| ").partition(" | ")[::2]
        if first.startswith("**`"):
            folder = first.strip("*`")
        elif first.endswith(".py`"):
            mapped[folder + first.strip("`")] = about
    modules = {name for name in NAMES if not name.endswith("__init__.py")}
    assert set(mapped) == modules
    for name, about in mapped.items():
        said = " ".join((ast.get_docstring(TREES[name]) or "").split())
        assert said.startswith(about.replace("\\|", "|").rstrip(" |")), name
