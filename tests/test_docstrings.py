"""Every public function says what it promises, or is promised by the protocol or the class that it fulfils."""

import ast
from collections.abc import Iterator
from pathlib import Path

GUIDE = Path(__file__).parent.parent / "guide"

#: One in each file of a folder; the recipe says what they promise.
BY_RECIPE = {"plan/advice": "advise", "plan/checks": "check", "cli": "command"}


def functions(node: ast.AST, inside: tuple[ast.ClassDef, ...] = ()) -> Iterator[tuple[ast.FunctionDef, str]]:
    """The public functions of a module and methods of its public classes, with the name of the class."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.ClassDef) and not child.name.startswith("_"):
            yield from functions(child, (*inside, child))
        elif isinstance(child, ast.FunctionDef) and not child.name.startswith("_"):
            yield child, inside[-1].name if inside else ""


def classes(trees: dict[Path, ast.Module]) -> Iterator[ast.ClassDef]:
    for tree in trees.values():
        yield from (node for node in ast.walk(tree) if isinstance(node, ast.ClassDef))


def bases(node: ast.ClassDef) -> set[str]:
    return {ast.unparse(base).split("[")[0].rpartition(".")[2] for base in node.bases}


def test_every_public_function_says_what_it_promises() -> None:
    trees = {path: ast.parse(path.read_text("utf-8")) for path in sorted(GUIDE.rglob("*.py"))}
    ours = {node.name: node for node in classes(trees)}
    protocols = [node for node in ours.values() if "Protocol" in bases(node)]
    promised = {item.name for node in protocols for item in node.body if isinstance(item, ast.FunctionDef)}
    foreign = {name for name, node in ours.items() if bases(node) - ours.keys() - {"Protocol", "Enum", "Generic"}}
    silent = [
        f"{path.relative_to(GUIDE)}:{function.lineno}: {home}{'.' if home else ''}{function.name}"
        for path, tree in trees.items()
        for function, home in functions(tree)
        if not ast.get_docstring(function)
        and BY_RECIPE.get(str(path.parent.relative_to(GUIDE))) != function.name
        and not (home and (function.name in promised or home in foreign))
    ]
    assert not silent, "\n".join(silent)
