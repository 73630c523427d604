"""What the code does nowhere: these read the source, because no request can show that a thing is absent."""

import ast
import re

import pytest
from django.conf import settings

SOURCES = sorted(
    path
    for room in ("config", "catalog", "fitment", "api")
    for path in (settings.ROOT / room).rglob("*.py")
    if "migrations" not in path.parts
)
SCRIPTS = sorted((settings.ROOT / "fitment" / "static").rglob("*.js"))
SQL = {"execute", "executemany", "raw", "extra", "RawSQL"}
WEAK = {"md5", "sha1"}


def calls(path):
    """Each call in a module: the name called, and the call."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            yield name, node


def test_there_is_something_to_read():
    assert len(SOURCES) > 100
    assert SCRIPTS


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(settings.ROOT)))
def test_no_module_builds_sql_runs_a_shell_or_evaluates_text(path):
    for name, call in calls(path):
        assert name not in {"eval", "exec", "system", "popen"}, f"{path}:{call.lineno}"
        assert not (
            isinstance(call.func, ast.Attribute)
            and name in {"loads", "load"}
            and ast.unparse(call.func).startswith(("pickle", "marshal", "yaml"))
        )
        assert not any(keyword.arg == "shell" for keyword in call.keywords), f"{path}:{call.lineno}"
        if name in SQL and call.args:
            text = call.args[0]
            built = isinstance(text, ast.JoinedStr | ast.BinOp) or (
                isinstance(text, ast.Call)
                and getattr(text.func, "attr", "") == "format"
                and "sql." not in ast.unparse(text)
            )
            assert not built, f"{path}:{call.lineno} puts values into a statement by hand"
        if name in WEAK or (name == "new" and call.args and getattr(call.args[0], "value", None) in WEAK):
            pytest.fail(f"{path}:{call.lineno} uses a hash that is broken")


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_no_script_of_ours_makes_markup_or_code_of_text(path):
    text = path.read_text()
    assert not re.search(
        r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|postMessage", text
    )


def test_nothing_keeps_what_is_secret_in_the_browser():
    for path in SCRIPTS:
        for key in re.findall(r"(?:local|session)Storage\.setItem\(\s*([^,]+),", path.read_text()):
            assert not re.search(r"vin|token|password", key, re.I), f"{path}: {key}"


def test_debugging_is_off_and_cannot_be_turned_on_from_outside():
    assert settings.DEBUG is False
    assert "DEBUG = False" in (settings.ROOT / "config" / "settings.py").read_text()


def test_no_secret_stands_in_the_source():
    for path in SOURCES:
        assert not re.search(
            r"jb_[0-9a-f]{64}|BEGIN [A-Z ]*PRIVATE KEY|(?:password|secret)\s*=\s*[\"'][^\"']{8,}", path.read_text()
        ), path
