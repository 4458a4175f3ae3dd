"""A comb as files for machines: a body of triangles, and a line to cut along."""

import struct
from collections.abc import Sequence
from io import StringIO

Point3 = tuple[float, float, float]
MILLIMETRES = 4  # as DXF counts units


def stl(x: Sequence[float], base_mm: float, tip_mm: float, thickness_mm: float) -> bytes:
    """A comb as a body: binary STL, in millimetres.

    The comb is a row of columns, each as high as the back or as a tooth. All triangles meet at the columns'
    corners, so that the body is closed without any repair.

    Parameters: x, where teeth begin and end, from left to right; base_mm and tip_mm, height of the back
    and of the teeth's tips; thickness_mm.
    Returns: the file.
    Source: geometry; needs none.

    >>> (len(stl([0, 2, 4, 6], 6, 14, 3)) - 84) / 50  # 5 cells above and below, 12 sides: two triangles each
    44.0
    """
    boundary: list[tuple[tuple[float, float], tuple[float, float]]] = []
    faces: list[tuple[Point3, Point3, Point3]] = []
    last = len(x) - 2
    for column, (left, right) in enumerate(zip(x, x[1:], strict=False)):
        tooth = column % 2 == 0
        cells = [(0.0, base_mm), (base_mm, tip_mm)] if tooth else [(0.0, base_mm)]
        for low, high in cells:
            faces += _flat((left, right), (low, high), thickness_mm)
        boundary.append(((left, 0.0), (right, 0.0)))
        top = cells[-1][1]
        boundary.append(((right, top), (left, top)))
        if tooth:
            boundary += [((right, base_mm), (right, tip_mm)), ((left, tip_mm), (left, base_mm))]
        if column == 0:
            boundary.append(((left, base_mm), (left, 0.0)))
        if column == last:
            boundary.append(((right, 0.0), (right, base_mm)))
    for (ax, ay), (bx, by) in boundary:
        low_a, low_b = (ax, ay, 0.0), (bx, by, 0.0)
        high_a, high_b = (ax, ay, thickness_mm), (bx, by, thickness_mm)
        faces += [(low_a, low_b, high_b), (low_a, high_b, high_a)]
    return _written(faces)


def _flat(x: tuple[float, float], y: tuple[float, float], z: float) -> list[tuple[Point3, Point3, Point3]]:
    """A rectangle of the bottom, seen from below, and the same of the top, seen from above."""
    found: list[tuple[Point3, Point3, Point3]] = []
    for height in (0.0, z):
        a, b, c, d = ((px, py, height) for px, py in ((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])))
        found += [(a, b, c), (a, c, d)] if height else [(a, c, b), (a, d, c)]
    return found


def _written(faces: Sequence[tuple[Point3, Point3, Point3]]) -> bytes:
    """The triangles as a binary file; its head names the unit, since the format has no place for it."""
    parts = [b"comb, millimetres".ljust(80), struct.pack("<I", len(faces))]
    for a, b, c in faces:
        u, v = [b[n] - a[n] for n in range(3)], [c[n] - a[n] for n in range(3)]
        normal = (u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0])
        length = sum(part * part for part in normal) ** 0.5 or 1.0
        parts.append(struct.pack("<12fH", *(part / length for part in normal), *a, *b, *c, 0))
    return b"".join(parts)


def dxf(outline: Sequence[tuple[float, float]]) -> str:
    """An outline as a DXF drawing in millimetres: one closed line on layer COMB.

    Parameters: outline, its corners.
    Returns: the text of the file; the same outline always gives the same text.

    >>> dxf([(0, 0), (9, 0), (9, 4)]) == dxf([(0, 0), (9, 0), (9, 4)])
    True
    """
    import ezdxf

    # no clock and no chance in the file, so that one comb always gives one file
    ezdxf.options.write_fixed_meta_data_for_testing = True  # type: ignore[attr-defined]
    drawing = ezdxf.new("R2000", units=MILLIMETRES)  # type: ignore[attr-defined]
    drawing.layers.add("COMB")
    drawing.modelspace().add_lwpolyline(list(outline), close=True, dxfattribs={"layer": "COMB"})
    text = StringIO()
    drawing.write(text)
    return text.getvalue()
