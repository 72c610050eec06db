"""Nested tuples whose leaves are columns: picking lanes out of them and joining them again.

A lane is one case of many. A leaf is an array with one entry a lane, or something that all lanes
share: a number, a text, None.
"""

from collections.abc import Iterator
from typing import TypeVar, cast

import numpy as np
from numpy.typing import NDArray

Tree = TypeVar("Tree")


def _rebuilt(tree: tuple[object, ...], leaves: list[object]) -> object:
    make = getattr(type(tree), "_make", tuple)
    return make(leaves)


def count(*trees: object) -> int:
    """Return the number of lanes of *trees*.

    Raises:
        ValueError: No leaf is a column, a column is not flat, or two have different lengths.
    """
    lengths = set(_lengths(trees))
    if len(lengths) != 1:
        raise ValueError(f"wanted columns of one length, got lengths {sorted(lengths)}")
    return lengths.pop()


def _lengths(tree: object) -> Iterator[int]:
    if isinstance(tree, tuple):
        for leaf in tree:
            yield from _lengths(leaf)
    elif isinstance(tree, np.ndarray) and tree.ndim:
        if tree.ndim != 1:
            raise ValueError(f"wanted flat columns, got one of shape {tree.shape}")
        yield tree.shape[0]


def take(tree: Tree, where: slice | NDArray[np.intp]) -> Tree:
    """Return *tree* with the lanes *where*; shared leaves stay as they are."""
    if isinstance(tree, tuple):
        return cast("Tree", _rebuilt(tree, [take(leaf, where) for leaf in tree]))
    if isinstance(tree, np.ndarray) and tree.ndim:
        return cast("Tree", tree[where])
    return tree


def lane(tree: Tree, index: int) -> Tree:
    """Return one lane of *tree* with plain Python numbers as leaves."""
    if isinstance(tree, tuple):
        return cast("Tree", _rebuilt(tree, [lane(leaf, index) for leaf in tree]))
    if isinstance(tree, np.ndarray):
        return cast("Tree", (tree[index] if tree.ndim else tree).item())
    return cast("Tree", tree.item()) if isinstance(tree, np.generic) else tree


def widen(tree: Tree, lanes: int) -> Tree:
    """Return *tree* with every leaf a column of its own that can be written to."""
    if isinstance(tree, tuple):
        return cast("Tree", _rebuilt(tree, [widen(leaf, lanes) for leaf in tree]))
    return cast("Tree", np.array(np.broadcast_to(np.asarray(tree), (lanes,))))


def put(tree: object, where: NDArray[np.intp] | int, lanes: object) -> None:
    """Write *lanes*, a tree of the same shape, into the columns of *tree* at *where*."""
    if isinstance(tree, tuple):
        for leaf, new in zip(tree, cast("tuple[object, ...]", lanes), strict=True):
            put(leaf, where, new)
    else:
        cast("NDArray[np.generic]", tree)[where] = np.asarray(lanes)


def join(trees: list[Tree]) -> Tree:
    """Return trees of the same shape, all leaves columns, end to end."""
    first = trees[0]
    if isinstance(first, tuple):
        parts = [cast("tuple[object, ...]", tree) for tree in trees]
        leaves = [join(list(leaf)) for leaf in zip(*parts, strict=True)]
        return cast("Tree", _rebuilt(first, leaves))
    return cast("Tree", np.concatenate(cast("list[NDArray[np.generic]]", trees)))
