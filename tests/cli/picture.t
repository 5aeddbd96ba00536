# What a picture says of itself. The sanitizer build has no jail, so the last line differs.
$ beltwright picture tests/fixtures/picture/turned.jpg
size         40 x 60 pixels, upright
kind         JPEG, 8 bits, 3 channels
orientation  6 (a quarter turn to the right)
resolution   300 dpi (11.81 pixels a millimetre, from EXIF)
taken at     2024-05-01T10:20:30+02:00
light        sRGB curve
decoded in   [..]
? 0
$ beltwright picture --json tests/fixtures/picture/turned.jpg
{
  "shape": "picture/1",
  "width": 40,
  "height": 60,
  "code_bits": 8,
  "format": "JPEG",
  "file_bits": 8,
  "file_channels": 3,
  "orientation": 6,
  "resolution": {
    "x_per_m": 11811.023622,
    "y_per_m": 11811.023622,
    "from": "exif",
    "placeholder": false
  },
  "taken_at": "2024-05-01T10:20:30+02:00",
  "transfer": "srgb",
  "progressive": false,
  "palette": false,
  "transparency": false,
  "narrow_range": false,
  "more_pictures": false,
  "jail": {
...
  }
}
? 0
$ beltwright picture tests/fixtures/picture/deep.png
size         3 x 2 pixels, upright
kind         PNG, 16 bits, 1 channel
orientation  1 (as stored)
resolution   none stated: marks need a scale in the picture
light        sRGB curve
decoded in   [..]
? 0

# The decoded grey: 16 bits, most significant byte first.
$ beltwright picture tests/fixtures/picture/deep.png --pgm - | od -An -tx1 -v
 50 35 0a 33 20 32 0a 36 35 35 33 35 0a 00 00 00
 01 01 00 12 34 80 00 ff ff
? 0
$ beltwright picture tests/fixtures/picture/deep.png --pgm /no/such/folder/x.pgm
beltwright: /no/such/folder/x.pgm: cannot be written: No such file or directory
? 1
$ beltwright picture tests/cli/picture.t
beltwright: tests/cli/picture.t: no picture of a kind read here (JPEG, PNG, TIFF, HEIC)
? 2
$ beltwright picture no-such.jpg
beltwright: no-such.jpg: cannot be opened (No such file or directory)
? 2
$ beltwright picture /dev/null
beltwright: /dev/null: not a plain file; save the picture to a file first
? 2
$ head -c 700 tests/fixtures/picture/turned.jpg > "$TMPDIR/cut.jpg"; beltwright picture "$TMPDIR/cut.jpg" 2>&1 | sed 's/.*cut.jpg/cut.jpg/'
cut.jpg: the file ends early, after 700 bytes, in the middle of the JPEG; copy it again
? 0
