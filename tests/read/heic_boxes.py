# heic_boxes.py - puts coded tiles together into one HEIC picture, as telephones do; used by the makers of test files.
# SPDX-License-Identifier: GPL-3.0-or-later
"""Boxes after ISO/IEC 14496-12 and 23008-12 (from memory). The tiles come from single-picture HEIC
files."""
import struct


def box(kind, *parts):
    body = b"".join(parts)
    return struct.pack(">I4s", 8 + len(body), kind) + body


def full(kind, version, flags, *parts):
    return box(kind, struct.pack(">I", version << 24 | flags), *parts)


def boxes(data, at, end):
    """(kind, start of body, end) of each box in data[at:end]."""
    while at + 8 <= end:
        size, kind = struct.unpack_from(">I4s", data, at)
        head = 8
        if size == 1:
            size, head = struct.unpack_from(">Q", data, at + 8)[0], 16
        elif size == 0:
            size = end - at
        yield kind, at + head, at + size
        at += size


def only(data, kind, at, end):
    return next((a, b) for k, a, b in boxes(data, at, end) if k == kind)


def coded(data):
    """hvcC box and coded bytes of the first hvc1 item of a plain HEIC file."""
    meta = only(data, b"meta", 0, len(data))
    at = meta[0] + 4
    iprp = only(data, b"iprp", at, meta[1])
    ipco = only(data, b"ipco", *iprp)
    hvcc = only(data, b"hvcC", *ipco)
    iloc = only(data, b"iloc", at, meta[1])
    version = data[iloc[0]]
    sizes, base_size = data[iloc[0] + 4], data[iloc[0] + 5]
    offset_size, length_size, base_size = sizes >> 4, sizes & 15, base_size >> 4
    p = iloc[0] + (8 if version < 2 else 10)
    p += (2 if version < 2 else 4) + (2 if version else 0) + 2
    base = int.from_bytes(data[p : p + base_size], "big")
    p += base_size + 2
    offset = base + int.from_bytes(data[p : p + offset_size], "big")
    length = int.from_bytes(data[p + offset_size : p + offset_size + length_size], "big")
    return data[hvcc[0] - 8 : hvcc[1]], data[offset : offset + length]


def grid(
    tiles, columns, tile_size, size, turn=None, mirror=None, colour=None, crop=None, exif=None
):
    """One HEIC of `tiles` (list of (hvcC, bytes), row by row), shown at `size`; turn in quarter turns counter-clockwise,
    mirror axis 0 or 1; colour (primaries, transfer, matrix, full range); crop (width, height, x and y of its middle from
    the picture's); an EXIF block. Returns the file's bytes."""
    rows = len(tiles) // columns
    assert rows * columns == len(tiles)
    configs = list(dict.fromkeys(h for h, _ in tiles))
    props = list(configs)
    props.append(full(b"ispe", 0, 0, struct.pack(">II", *tile_size)))
    props.append(full(b"ispe", 0, 0, struct.pack(">II", *size)))
    grid_props = [len(configs) + 2]
    if colour is not None:
        props.append(box(b"colr", b"nclx", struct.pack(">HHHB", *colour[:3], colour[3] << 7)))
        grid_props.append(len(props))
    if crop is not None:
        props.append(
            box(
                b"clap",
                struct.pack(
                    ">IIIIiIiI",
                    crop[0],
                    1,
                    crop[1],
                    1,
                    crop[2][0],
                    crop[2][1],
                    crop[3][0],
                    crop[3][1],
                ),
            )
        )
        grid_props.append(len(props) | 0x80)
    if turn is not None:
        props.append(box(b"irot", bytes([turn])))
        grid_props.append(len(props) | 0x80)
    if mirror is not None:
        props.append(box(b"imir", bytes([mirror])))
        grid_props.append(len(props) | 0x80)
    n = len(tiles)
    ids = range(1, n + 1)
    infe = [full(b"infe", 2, 1, struct.pack(">HH4s", i, 0, b"hvc1"), b"\0") for i in ids]
    infe.append(full(b"infe", 2, 0, struct.pack(">HH4s", n + 1, 0, b"grid"), b"\0"))
    refs = [box(b"dimg", struct.pack(">HH", n + 1, n), struct.pack(">%dH" % n, *ids))]
    if exif is not None:
        infe.append(full(b"infe", 2, 1, struct.pack(">HH4s", n + 2, 0, b"Exif"), b"\0"))
        refs.append(box(b"cdsc", struct.pack(">HHH", n + 2, 1, n + 1)))
    iinf = full(b"iinf", 0, 0, struct.pack(">H", len(infe)), *infe)
    iref = full(b"iref", 0, 0, *refs)
    ipma = struct.pack(">I", n + 1)
    for i, (h, _) in zip(ids, tiles):
        ipma += struct.pack(">HBBB", i, 2, (configs.index(h) + 1) | 0x80, len(configs) + 1)
    ipma += struct.pack(">HB", n + 1, len(grid_props)) + bytes(grid_props)
    iprp = box(b"iprp", box(b"ipco", *props), full(b"ipma", 0, 0, ipma))
    what = struct.pack(">BBBBII", 0, 1, rows - 1, columns - 1, *size)  # 32-bit sizes
    head = box(b"ftyp", b"heic", struct.pack(">I", 0), b"mif1heic")

    def build(at):
        places = []
        for _, b in tiles:
            places.append((0, at, len(b)))
            at += len(b)
        places.append((1, 0, len(what)))  # construction method 1: in idat
        if exif is not None:
            places.append((0, at, 4 + len(exif)))
        iloc = b"\x44\0" + struct.pack(">H", len(places))
        for i, (method, offset, length) in enumerate(places, 1):
            iloc += struct.pack(">HHHHII", i, method, 0, 1, offset, length)
        return full(
            b"meta",
            0,
            0,
            full(b"hdlr", 0, 0, b"\0\0\0\0pict" + b"\0" * 13),
            full(b"pitm", 0, 0, struct.pack(">H", n + 1)),
            iinf,
            full(b"iloc", 1, 0, iloc),
            iref,
            iprp,
            box(b"idat", what),
        )

    meta = build(len(head) + len(build(0)) + 8)
    data = [b for _, b in tiles]
    if exif is not None:
        data.append(struct.pack(">I", 0) + exif)
    return head + meta + box(b"mdat", *data)
