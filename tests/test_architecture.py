"""The shape of the code, read from its source: who imports whom, who opens files, who prints."""

import ast
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import selector

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "selector"

# Lowest first. A module may import its own part and the parts of lower lines; parts of one line
# do not import each other. The package itself, `selector/__init__.py`, imports nothing of it.
LAYERS = [
    ["errors"],
    ["units"],
    ["model"],
    ["engineering", "layout"],
    ["knowledge"],
    ["facts", "jobs"],
    ["inference"],
    ["kit"],
    ["explanation"],
    ["questions"],
    ["store"],
    ["maintenance"],
    ["interfaces"],
]
# Stricter than the order: parts that only these others import.
IMPORTED_BY = {
    "engineering": {"knowledge", "facts", "inference"},
    "layout": {"facts", "inference", "kit", "explanation", "interfaces"},
    "kit": {"explanation", "interfaces"},
    "jobs": {"questions", "store", "maintenance", "interfaces"},
    "explanation": {"questions", "store", "maintenance", "interfaces"},
    "questions": {"store", "maintenance", "interfaces"},
    "store": {"interfaces"},
    "maintenance": {"interfaces"},
    "interfaces": set(),
}
# Third-party packages, and the only places that import them.
THIRD_PARTY = {
    "durable": {"selector/inference/durable.py"},
    "durable_rules_engine": {"selector/inference/durable.py"},
    "networkx": {"selector/inference/", "selector/layout/pattern.py"},
    "scipy": {"selector/layout/cut.py"},
    "resvg_py": {"selector/interfaces/cli/pictures.py"},
    "jinja2": {f"selector/explanation/{page}/render.py" for page in ("handbook", "sheet", "card")},
    "markupsafe": {f"selector/explanation/{page}/render.py" for page in ("sheet", "card")},
    "clingo": {"selector/maintenance/checks/logic_check.py"},
    "pydantic": {"selector/knowledge/", "selector/jobs/", "selector/maintenance/"},
    "yaml": {"selector/knowledge/", "selector/jobs/", "selector/maintenance/"},
    "rich": {
        "selector/explanation/console.py",
        "selector/store/answering.py",
        "selector/interfaces/",
    },
    "typer": {"selector/interfaces/"},
}
OPENERS = {"open", "read_text", "read_bytes", "write_text", "write_bytes", "touch", "unlink"}
MAY_OPEN = {"knowledge", "jobs", "store", "maintenance"}
DATABASE = "sqlite3"
THE_DATABASE = {"selector/store/store.py", "selector/store/tables.py"}
NOT_A_FILE = "os.open(os.devnull, os.O_WRONLY)"  # where the rest goes when a reader has gone
PRINTERS = {"print", "echo", "secho", "pprint"}
ENGINEERING_MAY = {"math", "dataclasses", "itertools", "typing", "collections.abc"}
# Tables of a module that a function may fill, while the modules are imported.
REGISTRIES = {("selector/facts/view.py", "READERS"), ("selector/facts/split.py", "LOOKS_AT")}
MUTATORS = {"append", "add", "update", "setdefault", "extend", "insert", "pop", "popitem"}
MUTATORS |= {"remove", "discard", "clear", "sort", "reverse"}
MUTABLE = (ast.List, ast.Dict, ast.Set, ast.ListComp, ast.DictComp, ast.SetComp)
MAKERS = {"list", "dict", "set", "defaultdict", "OrderedDict", "Counter", "deque", "bytearray"}
Function = ast.FunctionDef | ast.AsyncFunctionDef
Node = ast.Module | ast.ClassDef | Function
MODULE_LINES = 650
FUNCTION_LINES = 60
LONGER = {("selector/knowledge/rules.py", "read_rule"): 80}  # half of it is one constructor
DURABLE_LINES = 120


def modules() -> list[Path]:
    """Every source file of the package."""
    return sorted(PACKAGE.rglob("*.py"))


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def shown(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def part(path: Path) -> str:
    """The part of a module: `selector/facts/view.py` -> `facts`; "" for the package itself."""
    inside = path.relative_to(PACKAGE)
    name = inside.parts[0].removesuffix(".py")
    return "" if name == "__init__" else name


def imports(path: Path) -> Iterator[tuple[int, str]]:
    """Line and full name of everything imported, also inside functions."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, name.name) for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{shown(path)}:{node.lineno}: relative import"
            assert node.module is not None
            if node.module == "selector":
                yield from ((node.lineno, f"selector.{name.name}") for name in node.names)
            else:
                yield node.lineno, node.module


def functions(node: ast.AST) -> Iterator[Function]:
    for child in ast.walk(node):
        if isinstance(child, Function):
            yield child


def called(node: ast.AST) -> str:
    """Last part of the name that a call calls."""
    if isinstance(node, ast.Attribute):
        return node.attr
    return node.id if isinstance(node, ast.Name) else ""


def level(name: str) -> int:
    return next(i for i, line in enumerate(LAYERS) if name in line)


def test_every_part_has_a_layer() -> None:
    found = {part(p) for p in modules()} - {""}
    assert found == {name for line in LAYERS for name in line}


def test_imports_point_downwards() -> None:
    faults = []
    for path in modules():
        own = part(path)
        for line, name in imports(path):
            pieces = name.split(".")
            if pieces[0] != "selector":
                continue
            other = pieces[1] if len(pieces) > 1 else ""
            if other in {"", "__version__", own}:
                continue
            if not own or level(other) >= level(own):
                faults.append(f"{shown(path)}:{line}: `{own or 'selector'}` imports `{other}`")
            elif own not in IMPORTED_BY.get(other, {own}):
                faults.append(f"{shown(path)}:{line}: `{other}` is not for `{own}`")
    assert not faults, "\n".join(faults)


def test_third_party_packages_stay_in_their_places() -> None:
    faults = []
    for path in modules():
        for line, name in imports(path):
            top = name.split(".")[0]
            if top == "selector" or top in sys.stdlib_module_names:
                continue
            places = THIRD_PARTY.get(top, set())
            if not any(shown(path).startswith(place) for place in places):
                faults.append(f"{shown(path)}:{line}: imports {name}")
    assert not faults, "\n".join(faults)


def test_engineering_is_plain_arithmetic() -> None:
    faults = [
        f"{shown(path)}:{line}: imports {name}"
        for path in modules()
        if part(path) == "engineering"
        for line, name in imports(path)
        if name not in ENGINEERING_MAY and not name.startswith("selector.engineering")
    ]
    assert not faults, "\n".join(faults)


def test_only_the_readers_and_writers_open_files() -> None:
    opening: dict[str, list[str]] = {}
    for path in modules():
        own_methods = {f.name for f in functions(tree(path))}
        for node in ast.walk(tree(path)):
            if not isinstance(node, ast.Call):
                continue
            name = called(node.func)
            attribute = isinstance(node.func, ast.Attribute)
            if ast.unparse(node) == NOT_A_FILE:
                continue
            if name in OPENERS and not (attribute and name in own_methods):
                opening.setdefault(part(path), []).append(f"{shown(path)}:{node.lineno}: {name}()")
    assert "knowledge" in opening, "the check no longer sees the reader that must be there"
    faults = [line for name, lines in opening.items() if name not in MAY_OPEN for line in lines]
    assert not faults, "\n".join(faults)


def test_only_the_store_has_a_database() -> None:
    found = {shown(p) for p in modules() for _, name in imports(p) if name == DATABASE}
    assert found == THE_DATABASE


def test_only_the_store_starts_processes() -> None:
    names = ("multiprocessing", "concurrent", "subprocess")
    found = {shown(p) for p in modules() for _, n in imports(p) if n.partition(".")[0] in names}
    assert found == {"selector/store/workers.py"}


def test_only_the_interfaces_print() -> None:
    """The page of `explanation/console.py` prints too, but only on the console it is given."""
    printing: dict[str, list[str]] = {}
    for path in modules():
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Call) and called(node.func) in PRINTERS:
                target = ast.unparse(node.func)
                where = f"{shown(path)}:{node.lineno}: {target}()"
                if shown(path) == "selector/explanation/console.py" and target != "print":
                    printing.setdefault("page", []).append(where)
                else:
                    printing.setdefault(part(path), []).append(where)
            elif isinstance(node, ast.Attribute) and node.attr in {"stdout", "stderr"}:
                where = f"{shown(path)}:{node.lineno}: {ast.unparse(node)}"
                printing.setdefault(part(path), []).append(where)
    assert {"page", "interfaces"} <= printing.keys(), "the check no longer sees what must be there"
    faults = [
        line
        for name, lines in printing.items()
        if name not in {"page", "interfaces"}
        for line in lines
    ]
    assert not faults, "\n".join(faults)


def test_the_page_makes_no_console_of_its_own() -> None:
    source = tree(PACKAGE / "explanation" / "console.py")
    made = [
        node.lineno
        for node in ast.walk(source)
        if isinstance(node, ast.Call) and called(node.func) == "Console"
    ]
    assert not made


def test_the_engine_sits_behind_one_short_module() -> None:
    path = PACKAGE / "inference" / "durable.py"
    using = {
        shown(p)
        for p in modules()
        for _, name in imports(p)
        if name.split(".")[0] in {"durable", "durable_rules_engine"}
    }
    assert using == {shown(path)}
    assert len(path.read_text(encoding="utf-8").splitlines()) <= DURABLE_LINES


def test_modules_stay_short() -> None:
    sizes = {shown(p): len(p.read_text(encoding="utf-8").splitlines()) for p in modules()}
    assert {name: n for name, n in sizes.items() if n > MODULE_LINES} == {}


def own_lines(function: Function) -> int:
    """How many lines a function has without those of the functions it defines inside."""

    def span(node: Function) -> set[int]:
        return set(range(node.lineno, (node.end_lineno or node.lineno) + 1))

    inner = (span(node) for node in functions(function) if node is not function)
    return len(span(function).difference(*inner))


def test_functions_stay_short() -> None:
    faults = {
        f"{shown(path)}:{function.lineno} {function.name}": own_lines(function)
        for path in modules()
        for function in functions(tree(path))
        if own_lines(function) > LONGER.get((shown(path), function.name), FUNCTION_LINES)
    }
    assert faults == {}


def module_names(source: ast.Module) -> Iterator[tuple[int, str, ast.expr]]:
    """Line, name and value of what a module binds at its top level."""
    for node in source.body:
        if isinstance(node, ast.Assign):
            for target in node.targets:
                if isinstance(target, ast.Name):
                    yield node.lineno, target.id, node.value
        elif (
            isinstance(node, ast.AnnAssign | ast.AugAssign)
            and isinstance(node.target, ast.Name)
            and node.value is not None
        ):
            yield node.lineno, node.target.id, node.value


def is_mutable(value: ast.expr) -> bool:
    if isinstance(value, ast.BinOp):
        return is_mutable(value.left) or is_mutable(value.right)
    if isinstance(value, ast.Call):
        return called(value.func) in MAKERS
    return isinstance(value, MUTABLE)


def test_tables_of_a_module_are_named_as_constants() -> None:
    faults = [
        f"{shown(path)}:{line}: {name}"
        for path in modules()
        for line, name, value in module_names(tree(path))
        if is_mutable(value) and not name.isupper() and name != "__all__"
    ]
    assert not faults, "\n".join(faults)


def changes(function: Function) -> Iterator[tuple[int, str]]:
    """Line and name of every plain name whose content a function changes."""
    for node in ast.walk(function):
        targets: list[ast.expr] = []
        if isinstance(node, ast.Assign | ast.Delete):
            targets = list(node.targets)
        elif isinstance(node, ast.AugAssign | ast.AnnAssign):
            targets = [node.target]
        elif isinstance(node, ast.Global):
            yield from ((node.lineno, name) for name in node.names)
        for target in targets:
            if isinstance(target, ast.Subscript) and isinstance(target.value, ast.Name):
                yield target.lineno, target.value.id
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr in MUTATORS
            and isinstance(node.func.value, ast.Name)
        ):
            yield node.lineno, node.func.value.id


def test_no_function_changes_a_table_of_a_module() -> None:
    changed = {}
    for path in modules():
        for function in functions(tree(path)):
            for line, name in changes(function):
                if name.strip("_").isupper():
                    changed[shown(path), name] = f"{shown(path)}:{line}: {name}"
    assert changed.keys() >= REGISTRIES, "a listed registry is filled nowhere"
    faults = [where for key, where in changed.items() if key not in REGISTRIES]
    assert not faults, "\n".join(faults)


def test_public_names_of_the_package() -> None:
    assert selector.__all__ == ["__version__"]
    assert selector.__version__.count(".") == 2
    project = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert f'version = "{selector.__version__}"' in project


def public(node: Node, name: str) -> Iterator[tuple[str, Node]]:
    """Public classes, and public functions of modules and of public classes."""
    for child in node.body:
        if not isinstance(child, Function | ast.ClassDef) or child.name.startswith("_"):
            continue
        inner = f"{name}.{child.name}"
        yield inner, child
        if isinstance(child, ast.ClassDef):
            yield from public(child, inner)


def test_public_functions_and_classes_have_docstrings() -> None:
    faults = []
    for path in modules():
        source = tree(path)
        if source.body and not ast.get_docstring(source):
            faults.append(shown(path))
        for name, node in public(source, shown(path)):
            if not ast.get_docstring(node):
                faults.append(name)
    assert not faults, "\n".join(faults)


# Written in two pieces so that this file does not name what it forbids.
MACHINE_PATHS = ["/wor" + "k/", "/tm" + "p/w"]
SHIPPED = ["selector", "tests", "kb", "rules", "examples", ".ci"]
SHIPPED_FILES = ["pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE", ".gitignore"]


@pytest.mark.parametrize("forbidden", MACHINE_PATHS)
def test_no_file_names_a_path_of_one_machine(forbidden: str) -> None:
    files = [p for top in SHIPPED for p in sorted((ROOT / top).rglob("*")) if p.is_file()]
    files += [ROOT / name for name in SHIPPED_FILES if (ROOT / name).is_file()]
    assert len(files) > 100
    faults = [
        f"{shown(path)}:{number}"
        for path in files
        if not {"__pycache__", ".mypy_cache"} & set(path.parts)
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if forbidden in line
    ]
    assert not faults, "\n".join(faults)
