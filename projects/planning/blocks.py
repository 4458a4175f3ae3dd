"""Which nodes must be placed together: those bound by a window or by something held across them."""

from collections.abc import Sequence
from dataclasses import dataclass

from projects.planning.grid import Grid
from projects.planning.relief import Relief


@dataclass(frozen=True)
class Blocks:
    """Nodes in groups that are placed as one, and which groups wait for which.

    Parameters: nodes, for each block its nodes in topological order; of, for each node its block; after,
    for each block those that wait for it; waits, for each block for how many it waits; spans, for each
    block what is held inside it.

    >>> Blocks([[0]], [0], [[]], [0], [[]]).of
    [0]
    """

    nodes: list[list[int]]
    of: list[int]
    after: list[list[int]]
    waits: list[int]
    spans: list[list[tuple[int, int, int, int]]]


def blocks_of(grid: Grid, relief: Relief) -> Blocks:
    """The strongly connected parts of links, windows turned round, and spans from last to first.

    Parameters: grid; relief, whose windows do not bind.
    Returns: Blocks.
    Source: R. Tarjan (1972), SIAM J. Comput. 1, 146, doi:10.1137/0201010.

    >>> blocks_of(Grid(), Relief()).nodes
    []
    """
    forth: list[list[int]] = [[edge.after for edge in edges] for edges in grid.out_of]
    bound = [list(after) for after in forth]
    for edge in grid.windows():
        if relief.keeps(edge):
            bound[edge.after].append(edge.before)
    for _, _, first, last in grid.spans:
        bound[first].append(last)
        bound[last].append(first)
    of = _components(bound)
    count = max(of, default=-1) + 1
    nodes: list[list[int]] = [[] for _ in range(count)]
    for node, block in enumerate(of):
        nodes[block].append(node)
    pairs = {(of[a], of[b]) for a, after in enumerate(forth) for b in after if of[a] != of[b]}
    after: list[list[int]] = [[] for _ in range(count)]
    waits = [0] * count
    for a, b in sorted(pairs):
        after[a].append(b)
        waits[b] += 1
    spans: list[list[tuple[int, int, int, int]]] = [[] for _ in range(count)]
    for span in grid.spans:
        spans[of[span[2]]].append(span)
    return Blocks(nodes, of, after, waits, spans)


def _components(out_of: Sequence[Sequence[int]]) -> list[int]:
    """For each node the number of its strongly connected part, numbered by their least node."""
    count = len(out_of)
    index, low, part = [-1] * count, [0] * count, [-1] * count
    stack: list[int] = []
    clock = 0
    for root in range(count):
        if index[root] >= 0:
            continue
        walk = [(root, 0)]
        while walk:
            node, turn = walk.pop()
            if turn == 0:
                index[node] = low[node] = clock
                clock += 1
                stack.append(node)
            if turn < len(out_of[node]):
                walk.append((node, turn + 1))
                other = out_of[node][turn]
                if index[other] < 0:
                    walk.append((other, 0))
                elif part[other] < 0:
                    low[node] = min(low[node], index[other])
                continue
            if low[node] == index[node]:
                while part[node] < 0:
                    part[stack.pop()] = node
            if walk:
                low[walk[-1][0]] = min(low[walk[-1][0]], low[node])
    number: dict[int, int] = {}
    return [number.setdefault(root, len(number)) for root in part]
