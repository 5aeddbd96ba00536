#!/usr/bin/python3
# jail.py - the tiers of the jail, its refusal, and its filter judged call by call.
# SPDX-License-Identifier: GPL-3.0-or-later
"""usage: jail.py BUILD-FOLDER      (a release build: sanitizer builds have no jail)

The filter is the very program the kernel gets, run here by a small interpreter of classic BPF
(linux/filter.h, from memory) on made-up calls, so the ARM filter is judged without an ARM
machine. Call numbers: asm/unistd_64.h for x86_64, asm-generic/unistd.h for aarch64 (from
memory)."""
import os
import struct
import subprocess
import sys
import tempfile
import zlib

BUILD = sys.argv[1]
passed = failed = 0


def check(good, name, why=""):
    global passed, failed
    if good:
        passed += 1
    else:
        failed += 1
        print("FAILED: %s %s" % (name, why))


# --- The filter

KILL_PROCESS, ALLOW = 0x80000000, 0x7FFF0000
AUDIT = {"x86_64": 0xC000003E, "aarch64": 0xC00000B7, "i386": 0x40000003}
NUMBERS = {  # name: (x86_64, aarch64); None: no such call there
    "read": (0, 63),
    "write": (1, 64),
    "open": (2, None),
    "close": (3, 57),
    "fstat": (5, 80),
    "lseek": (8, 62),
    "mmap": (9, 222),
    "mprotect": (10, 226),
    "munmap": (11, 215),
    "brk": (12, 214),
    "rt_sigaction": (13, 134),
    "ioctl": (16, 29),
    "pread64": (17, 67),
    "pwrite64": (18, 68),
    "writev": (20, 66),
    "mremap": (25, 216),
    "madvise": (28, 233),
    "dup": (32, 23),
    "nanosleep": (35, 101),
    "getpid": (39, 172),
    "sendfile": (40, 71),
    "socket": (41, 198),
    "connect": (42, 203),
    "sendto": (44, 206),
    "recvmsg": (47, 212),
    "bind": (49, 200),
    "clone": (56, 220),
    "fork": (57, None),
    "vfork": (58, None),
    "execve": (59, 221),
    "exit": (60, 93),
    "kill": (62, 129),
    "fcntl": (72, 25),
    "ftruncate": (77, 46),
    "unlink": (87, None),
    "ptrace": (101, 117),
    "sysinfo": (99, 179),
    "prctl": (157, 167),
    "setrlimit": (160, 164),
    "futex": (202, 98),
    "io_setup": (206, 0),
    "clock_gettime": (228, 113),
    "exit_group": (231, 94),
    "openat": (257, 56),
    "unlinkat": (263, 35),
    "splice": (275, 76),
    "prlimit64": (302, 261),
    "process_vm_writev": (311, 271),
    "seccomp": (317, 277),
    "memfd_create": (319, 279),
    "bpf": (321, 280),
    "execveat": (322, 281),
    "userfaultfd": (323, 282),
    "io_uring_setup": (425, 425),
    "clone3": (435, 435),
    "pidfd_open": (434, 434),
    "landlock_create_ruleset": (444, 444),
    "name_to_handle_at": (303, 264),
    "perf_event_open": (298, 241),
}
PLAIN = {"munmap", "mremap", "brk", "exit", "exit_group", "futex", "clock_gettime", "sysinfo"}


def run_filter(program, number, arch, args=()):
    args = list(args) + [0] * (6 - len(args))
    data = struct.pack("<IIQ6Q", number, arch, 0, *args)
    a, pc = 0, 0
    while True:
        code, jt, jf, k = program[pc]
        pc += 1
        if code == 0x20:  # load a word
            a = struct.unpack_from("<I", data, k)[0]
        elif code == 0x54:
            a &= k
        elif code == 0x05:
            pc += k
        elif code & 0x07 == 0x05:  # jumps on equal, greater, greater or equal, bit set
            hit = {0x15: a == k, 0x25: a > k, 0x35: a >= k, 0x45: bool(a & k)}[code]
            pc += jt if hit else jf
        elif code == 0x06:
            return k
        else:
            raise ValueError("instruction %#x" % code)


def test_filter(name):
    raw = subprocess.run(
        [BUILD + "/beltwright-read-filter", name], capture_output=True, check=True
    ).stdout
    program = list(struct.iter_unpack("<HBBI", raw))
    arch, column = AUDIT[name], 0 if name == "x86_64" else 1

    def verdict(call, *args):
        return run_filter(program, NUMBERS[call][column], arch, args)

    for call, numbers in NUMBERS.items():
        if numbers[column] is not None and call not in ("pread64", "write", "mmap"):
            check(
                verdict(call) == (ALLOW if call in PLAIN else KILL_PROCESS), "%s %s" % (name, call)
            )
    known = {n[column]: c for c, n in NUMBERS.items() if n[column] is not None}
    for number in range(600):
        if known.get(number) not in PLAIN | {"pread64", "write", "mmap"}:
            check(
                run_filter(program, number, arch, [0] * 6) == KILL_PROCESS,
                "%s call %d" % (name, number),
            )
    for fd in (0, 1, 2, 3, 100, 0xFFFFFFFF, 1 << 32, 2 + (1 << 32)):
        check(
            verdict("pread64", fd) == (ALLOW if fd == 0 else KILL_PROCESS),
            "%s pread64 of %d" % (name, fd),
        )
        check(
            verdict("write", fd) == (ALLOW if fd == 2 else KILL_PROCESS),
            "%s write to %d" % (name, fd),
        )
    shared, private, checked, anonymous = 1, 2, 3, 0x20
    for protection in range(8):
        for flags in (
            shared,
            private,
            checked,
            shared | anonymous,
            private | anonymous,
            checked | anonymous,
            private | anonymous | 0x10,
            private | anonymous | 0x4000,
        ):
            good = protection & 4 == 0 and flags & 15 == private and flags & anonymous
            check(
                verdict("mmap", 0, 4096, protection, flags, (1 << 64) - 1, 0)
                == (ALLOW if good else KILL_PROCESS),
                "%s mmap %d %#x" % (name, protection, flags),
            )
    # Another architecture's numbers, and x32's.
    for other in AUDIT.values():
        if other != arch:
            check(
                run_filter(program, NUMBERS["exit"][column], other) == KILL_PROCESS,
                "%s other numbers" % name,
            )
    if name == "x86_64":
        check(
            run_filter(program, 0x40000000 | NUMBERS["brk"][0], arch) == KILL_PROCESS, "x32 numbers"
        )


# --- The tiers, on kernels that lack parts of it


def chunk(kind, body):
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def picture(without, *options):
    start = [BUILD + "/beltwright-read-without", without] if without else []
    run = subprocess.run(
        start + [BUILD + "/beltwright", "picture", PATH, *options], capture_output=True
    )
    return run.returncode, run.stdout.decode(), run.stderr.decode()


def decodes(without, options, tier):
    status, out, err = picture(without, *options)
    check(
        status == 0 and "decoded in   " + tier in out,
        "without %s %s" % (without, options),
        "%d %s%s" % (status, out, err),
    )


def refuses(without, tier):
    status, out, err = picture(without)
    words = (
        "this machine gives the reader only: %s; a file is not decoded so unless --unjailed" % tier
    )
    check(
        status == 2 and out == "" and words in err and err.count("\n") == 1,
        "refusal without %s" % without,
        "%d %s%s" % (status, out, err),
    )


def landlock():
    status, out, _ = picture(None)
    at = out.find("Landlock ")
    return out[at:].split(")")[0] if status == 0 and at >= 0 else "no Landlock in this kernel"


folder = tempfile.mkdtemp(prefix="beltwright-jail-")
PATH = folder + "/grey.png"
with open(PATH, "wb") as f:
    f.write(
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", struct.pack(">IIBBBBB", 2, 2, 8, 0, 0, 0, 0))
        + chunk(b"IDAT", zlib.compress(b"\0ab\0cd"))
        + chunk(b"IEND", b"")
    )
test_filter("x86_64")
test_filter("aarch64")
LANDLOCK = landlock()
print("this kernel: " + LANDLOCK)
decodes(None, [], "full jail (system-call filter, %s)" % LANDLOCK)
decodes("landlock", [], "full jail (system-call filter, no Landlock in this kernel)")
refuses("both", "no jail")
decodes("both", ["--unjailed"], "no jail")
if LANDLOCK.startswith("Landlock"):
    refuses("seccomp", "partial jail (no system-call filter, %s)" % LANDLOCK)
    decodes("seccomp", ["--unjailed"], "partial jail (no system-call filter, %s)" % LANDLOCK)
os.unlink(PATH)
os.rmdir(folder)
print("%d passed, %d failed" % (passed, failed))
sys.exit(1 if failed else 0)
