#!/usr/bin/python3
"""droptag.py FILE TAG: takes a tag out of the only directory of a little-endian
classic TIFF, in place: the entries behind it move up, 12 bytes fall free."""
import struct, sys

path, tag = sys.argv[1], int(sys.argv[2])
data = bytearray(open(path, "rb").read())
assert data[:4] == b"II*\0", path
at = struct.unpack_from("<I", data, 4)[0]
n = struct.unpack_from("<H", data, at)[0]
entries = [data[at + 2 + 12 * i:][:12] for i in range(n)]
kept = [e for e in entries if struct.unpack_from("<H", e)[0] != tag]
assert len(kept) == n - 1, "%s has no tag %d" % (path, tag)
struct.pack_into("<H", data, at, n - 1)
data[at + 2:at + 2 + 12 * n + 4] = b"".join(kept) + data[at + 2 + 12 * n:][:4] + bytes(12)
open(path, "wb").write(data)
