"""profiles.py - surface files read by the jailed reader and, independently, here; compared exactly.

SPDX-License-Identifier: GPL-3.0-or-later
Usage: profiles.py FOLDER (of the built programs). Ends 0: all agree, or no numpy; 1: they differ.

Starts beltwright-read-profile as its client does (file on 0, room on 1, pipe on 2). X3P samples
are taken from $BELTWRIGHT_DATA/x3p or ../shared/data/x3p where there are any; the other files are
written here by the published layouts.
"""
import hashlib
import io
import os
import struct
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as tree
import zipfile

try:
    import numpy as np
except ImportError:
    print("ok - numpy or scipy is not here # SKIP")
    sys.exit(0)

READER = os.path.join(sys.argv[1], "beltwright-read-profile")
ROOM = 4096 + 2 * 8_000_000 * 8 + 4096
failures = 0


def read(data):
    """(heights, x, header) or the reader's words."""
    room = os.memfd_create("room")
    os.ftruncate(room, ROOM)
    with tempfile.TemporaryFile() as file:
        file.write(data)
        file.seek(0)
        subprocess.run([READER, "any-jail"], executable=READER, stdin=file, stdout=room,
                       stderr=subprocess.PIPE, check=False)
    head = os.pread(room, 4096, 0)
    _, _, kind, state, code = struct.unpack_from("<8sIIII", head)
    used, = struct.unpack_from("<Q", head, 24)
    words = head[32:432].split(b"\0")[0].decode("ascii")
    if state != 2 and state != 1:
        return "no answer"
    if state == 2:
        return words
    columns, rows, at, size, x_at, x_size, voids, dx, dy, form, total, flags = struct.unpack_from(
        "<7Q2d3I", head, 432)
    z = np.frombuffer(os.pread(room, size, at), "<f8").reshape(rows, columns)
    x = np.frombuffer(os.pread(room, x_size, x_at), "<f8") if x_at else None
    os.close(room)
    assert used == at + size + x_size and voids == np.isnan(z).sum()
    return z, x, dict(dx=dx, dy=dy, format=form, sum=total, flags=flags)


def check(name, ok, detail=""):
    global failures
    if not ok:
        failures += 1
        print("FAIL", name, detail)


def same(name, data, heights, **header):
    got = read(data)
    if isinstance(got, str):
        check(name, False, got)
        return
    z, x, about = got
    heights = np.atleast_2d(np.asarray(heights, float))
    check(name, z.shape == heights.shape and np.array_equal(z, heights, equal_nan=True),
          f"{z.shape} {z.ravel()[:4]} {heights.ravel()[:4]}")
    places = header.pop("x", None)
    if places is not None:
        check(name + " places", x is not None and np.array_equal(x, places), x)
    for key, value in header.items():
        check(f"{name} {key}", about[key] == value, about[key])


def says(name, data, words):
    got = read(data)
    check(name, isinstance(got, str) and words in got, got if isinstance(got, str) else "was read")


# --- X3P, by zipfile and ElementTree ---------------------------------------------------------

def plain(node):
    for child in node.iter():
        child.tag = child.tag.split("}")[-1]
    return node


def by_python(path):
    with zipfile.ZipFile(path) as archive:
        names = [n for n in archive.namelist() if n.endswith("main.xml") and "MACOSX" not in n]
        folder = names[0][:-len("main.xml")]
        root = plain(tree.fromstring(archive.read(names[0])))
        axes = [root.find(f"Record1/Axes/{a}") for a in ("CX", "CY", "CZ")]
        kinds = [a.findtext("DataType", "D") for a in axes]
        absolute = [a.findtext("AxisType") == "A" for a in axes]
        step = [float(a.findtext("Increment") or 1) for a in axes]
        offset = [float(a.findtext("Offset") or 0) for a in axes]
        size = [int(root.findtext(f"Record3/MatrixDimension/Size{a}")) for a in "XYZ"]
        n = size[0] * size[1]
        link = root.findtext("Record3/DataLink/PointDataLink")
        if link:
            numpy = {"I": "<i2", "L": "<i4", "F": "<f4", "D": "<f8"}[kinds[2]]
            z = np.frombuffer(archive.read(folder + link), numpy)[:n].astype(float)
            valid = root.findtext("Record3/DataLink/ValidPointsLink")
        else:
            cells = [d.text for d in root.iter("Datum")]
            z = np.array([float(c.split(";")[-1]) if c else np.nan for c in cells])
            valid = None
        if kinds[2] in "IL":
            z = z * step[2] + offset[2]
        if valid:
            bits = np.unpackbits(np.frombuffer(archive.read(folder + valid), "u1"), bitorder="little")
            z = np.where(bits[:n] == 1, z, np.nan)
        z = np.where(np.isinf(z), np.nan, z)  # so one of the samples writes a point not seen
        return z.reshape(size[1], size[0]), dict(dx=step[0]) | ({} if absolute[1] else dict(dy=step[1]))


def samples():
    folder = os.path.join(os.environ.get("BELTWRIGHT_DATA", "../shared/data"), "x3p")
    if not os.path.isdir(folder):
        print("no X3P samples here; only written files are tried")
        return
    for name in sorted(os.listdir(folder)):
        path = os.path.join(folder, name)
        data = open(path, "rb").read()
        if name == "ISO5436-sample2.x3p":
            says(name, data, "cloud of points")
            continue
        z, header = by_python(path)
        stale = name == "csafe-logo.x3p"
        same(name, data, z, format=5, sum=2 if stale else 1, **header)
        says(name + " cut", data[:len(data) // 2], "archive is broken")


def x3p(feature="SUR", kind="D", size=(3, 2, 1), z=None, link=True, extra="", valid=None, axis="I",
        packing=zipfile.ZIP_DEFLATED, spoil=None, xml=None, step="1e-6"):
    numpy = {"I": "<i2", "L": "<i4", "F": "<f4", "D": "<f8"}[kind]
    data = np.asarray(z if z is not None else range(6)).astype(numpy).tobytes()
    sums = hashlib.md5(data).hexdigest()
    links = f"<DataLink><PointDataLink>bindata/data.bin</PointDataLink><MD5ChecksumPointData>{sums}" \
            "</MD5ChecksumPointData>"
    if valid:
        links += "<ValidPointsLink>bindata/valid.bin</ValidPointsLink>"
    links += "</DataLink>"
    axes = "".join(f"<{a}><AxisType>{axis if a != 'CZ' else 'A'}</AxisType><DataType>{kind if a == 'CZ' else 'D'}"
                   f"</DataType><Increment>{step}</Increment><Offset>0</Offset></{a}>" for a in ("CX", "CY", "CZ"))
    if xml is None:
        xml = f"<?xml version='1.0'?>{extra}<p:ISO5436_2 xmlns:p='urn:x'><Record1><FeatureType>{feature}" \
              f"</FeatureType><Axes>{axes}</Axes></Record1><Record3><MatrixDimension><SizeX>{size[0]}</SizeX>" \
              f"<SizeY>{size[1]}</SizeY><SizeZ>{size[2]}</SizeZ></MatrixDimension>{links if link else ''}" \
              "</Record3></p:ISO5436_2>"
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", packing) as archive:
        archive.writestr("main.xml", xml)
        archive.writestr("md5checksum.hex", hashlib.md5(xml.encode()).hexdigest() + " *main.xml\n")
        archive.writestr("bindata/data.bin", spoil if spoil is not None else data)
        if valid:
            archive.writestr("bindata/valid.bin", valid)
    return out.getvalue()


def written_x3p():
    z = [[1.5e-6, -2e-6, 3e-6], [0, 5e-7, 1e-6]]
    same("x3p f64", x3p(z=np.array(z).ravel()), z, dx=1e-6, dy=1e-6, sum=1, format=5)
    same("x3p stored", x3p(z=np.array(z).ravel(), packing=zipfile.ZIP_STORED), z)
    same("x3p i32", x3p(kind="L", z=[1, -2, 3, 70000, 5, 6]),
         np.array([[1, -2, 3], [70000, 5, 6]]) * 1e-6)
    same("x3p valid", x3p(kind="I", z=range(6), valid=b"\x3b"),
         np.array([[0, 1, np.nan], [3, 4, 5]]) * 1e-6)
    same("x3p profile", x3p("PRF", size=(6, 1, 1), z=np.arange(6) / 8), np.arange(6) / 8, dy=0)
    says("no main.xml", zipfile_of("other.txt", b"x"), "no main.xml")
    says("wrong sum", x3p(spoil=bytes(48)), "check sum is wrong")
    says("short data", x3p(size=(30, 2, 1)), "hold 6 points, main.xml says 60")
    says("no data", x3p(link=False), "neither holds the heights")
    says("huge", x3p(size=(100000, 100000, 1)), "million points")
    says("layers", x3p(size=(1, 2, 3)), "more than one layer")
    says("entities", x3p(extra="<!DOCTYPE a [<!ENTITY b 'cc'>]>"), "document type")
    says("broken xml", x3p(xml="<a><b></a>"), "main.xml, line 1")
    says("deep xml", x3p(xml="<a>" * 100), "within each other")
    says("spacing", x3p(step="1e9"), "spacing")
    says("bad number", x3p(step="one"), "no number")
    bomb = x3p(spoil=bytes(300_000_000))
    says("bomb", bomb, "at most")
    data = bytearray(x3p())
    data[data.rindex(b"PK\5\6") + 16:data.rindex(b"PK\5\6") + 20] = b"\xff\xff\xff\x7f"
    says("directory astray", bytes(data), "archive is broken")


def zipfile_of(name, content):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr(name, content)
    return out.getvalue()


# --- SDF and SMD by their published layouts ------------------------------------------------------

def sdf_binary(kind, values, points=None, profiles=1, z=1e-8, cut=0, version=b"bISO-1.0", packed=0):
    body = np.asarray(values).astype(["u1", "<u2", "<u4", "<f4", "i1", "<i2", "<i4", "<f8"][kind % 8]).tobytes()
    n = points if points is not None else len(values) // profiles
    head = version + b"invented  " + b"210520051200" * 2
    head += struct.pack("<HHddddBBB", n, profiles, 5e-7, 1e-6 if profiles > 1 else 0, z, -1, packed, kind, 0)
    assert len(head) == 81
    whole = head + body
    return whole[:len(whole) - cut]


def sdf_text(values, n=None, z=1e-8, extra="", star="*"):
    lines = ["aISO-1.0", "ManufacID = invented", "CreateDate = 210520051200", "ModDate = 210520051200",
             f"NumPoints = {n if n is not None else len(values)}", "NumProfiles = 1", "Xscale = 5e-7", "Yscale = 0",
             f"Zscale = {z}", "Zresolution = -1", "Compression = 0", "DataType = 7", "CheckType = 0" + extra, star]
    return "\r\n".join(lines + [str(v) for v in values] + ["*", "a remark"]).encode()


def written_sdf():
    values = [3, 100, 7, 0, 50, 90]
    for kind in range(8):
        same(f"sdf {kind}", sdf_binary(kind, values), np.array(values) * 1e-8, dx=5e-7, format=4)
    same("sdf surface", sdf_binary(5, [-5, 6, -32768, 8, 9, 10], profiles=2),
         np.array([[-5, 6, np.nan], [8, 9, 10]]) * 1e-8, dy=1e-6)
    same("sdf text", sdf_text([1.5, -2, "BAD", 4]), np.array([1.5, -2, np.nan, 4]) * 1e-8, dx=5e-7, format=3)
    says("sdf cut", sdf_binary(7, values, cut=1), "ends before its 6 heights")
    says("sdf head", sdf_binary(7, values)[:60], "ends in its header")
    says("sdf none", sdf_binary(7, values, points=0), "NumPoints")
    says("sdf packed", sdf_binary(7, values, packed=1), "compressed")
    says("sdf kind", sdf_binary(9, values), "DataType 9")
    says("sdf scale", sdf_binary(7, values, z=float("nan")), "Zscale")
    says("sdf inf", sdf_binary(7, [float("inf")] * 6), "no point of the file has a height")
    says("sdf text short", sdf_text([1, 2], n=5), "holds 2 heights")
    says("sdf text word", sdf_text([1, "x"]), "no number")
    says("sdf text head", sdf_text([1, 2]).replace(b"*", b"-"), "header and heights")


def smd(values, count=None, axis="CX I {n} UM 0.5 D", height="CZ A {n} UM 0.01 L", end="\x03", tail="\x1a"):
    n = count if count is not None else len(values)
    lines = ["ISO 5436 - 2000", "invented 0.000000e+000 PRF", axis.format(n=n), height.format(n=n), end,
             "DATE 21-05-2005", end] + [str(v) for v in values] + [end, "1234", end]
    return ("\r\n".join(lines) + tail).encode()


def written_smd():
    values = [3, -100, 7, 0, 50, 90]
    same("smd", smd(values), np.array(values) * (1e-6 * 0.01), dx=1e-6 * 0.5, format=2)
    same("smd void", smd([1, "BAD", 3]), np.array([1, np.nan, 3]) * (1e-6 * 0.01))
    same("smd eor", smd(values, end="EOR").replace(b"ISO 5436 - 2000", b"1 2"), np.array(values) * (1e-6 * 0.01))
    same("smd places", smd(["0 1", "2 3", "3 5", "7 7"], axis="CX A {n} MM 1 D"),
         np.array([1, 3, 5, 7]) * (1e-6 * 0.01), x=np.array([0, 2, 3, 7]) * 1e-3)
    says("smd few", smd(values, count=9), "holds 6 heights, its header says 9")
    says("smd many", smd(values, count=3), "more heights")
    says("smd unit", smd(values, axis="CX I {n} FURLONG 1 D"), "unit of an axis")
    says("smd axis", smd(values, axis="CX I"), "an axis is told")
    says("smd none", smd(values, axis=""), "both axes")
    says("smd word", smd([1, "two"]), "no number")
    says("smd end", b"ISO 5436 - 2000\r\nCX I 2 UM 1 D\r\n", "ends before its heights")


# --- columns -----------------------------------------------------------------------------------

def columns():
    um = 1e-6
    z = np.array([1.5, -2, 3])
    same("csv", b"x [mm],z [um]\n0,1.5\n0.1,-2\n0.2,3\n", z * um, flags=0, format=1)
    same("tabs", b"x/mm\tz/um\r\n0\t1.5\r\n0.1\t-2\r\n0.2\t3\r\n", z * um, flags=0)
    same("decimal commas", "\ufeffDistance (mm);Height (\u00b5m)\n0,0;1,5\n0,1;-2\n0,2;3\n".encode(), z * um, flags=0)
    same("latin-1", "x [mm];z [\u00b5m]\n0;1.5\n0.1;-2\n0.2;3\n".encode("latin-1"), z * um, flags=0)
    same("row of units", b"a;b\nmm;um\n0;1.5\n0.1;-2\n0.2;3\n", z * um, flags=0)
    same("told spacing", b"# spacing = 0.5 um\n# z [um]\n1.5\n-2\n3\n", z * um, flags=0, dx=5e-7)
    same("bare", b"1.5\n-2\n3\n", z, flags=7)
    same("blanks", b"0 1,5\n1 -2,0\n2 3,0\n", z, flags=3)
    same("void", b"z [um]\nspacing: 1 um\n1.5\nNaN\n3\n", np.array([1.5, np.nan, 3]) * um)
    same("uneven", b"x [m];z [m]\n0;1\n1;2\n5;3\n", [1, 2, 3], x=np.array([0, 1, 5.0]))
    same("falling", b"x [m];z [m]\n5;1\n1;2\n0;3\n", [3, 2, 1], x=np.array([0, 1, 5.0]))
    same("named among more", b"no,x [m],t,z [m]\n1,0,9,1\n2,1,9,2\n", [1, 2])
    says("empty", b"", "empty")
    says("pdf", b"%PDF-1.4", "a PDF")
    says("binary", bytes(100), "no text")
    says("ragged", b"0;1\n1;2\n2\n", "line 3")
    says("word", b"0;1\n1;two\n", "line 2: a height")
    says("long line", b"1 " * 5000, "line 1")
    says("one", b"1\n", "no profile")


samples()
written_x3p()
written_sdf()
written_smd()
columns()
print("ok - all agree" if failures == 0 else f"not ok - {failures} differ")
sys.exit(failures != 0)
