# What a recording is, and what is said of one that cannot be read.

$ beltwright sound examples/recordings/one-head.flac | grep -v decoded
length       20 s, 160000 samples at 8000 Hz
channels     1
kind         FLAC, 16 bits
highest      0.2581 of full scale
? 0

$ beltwright sound examples/recordings/one-head.flac --json | grep -v jail
{
  "shape": "sound/1",
  "samples": 160000,
  "channels": 1,
  "rate_hz": 8000,
  "seconds": 20,
  "highest": 0.258117675781,
  "format": "FLAC",
  "file_bits": 16,
  "cut": false,
  "lossy": false,
}
? 0

$ printf 'time_ms,x\n0,1\n1,-2.5\n2,0.25\n' > "$TMPDIR/x.csv"; beltwright sound "$TMPDIR/x.csv" --csv -
time_s,channel_1
0,1
0.001,-2.5
0.002,0.25
? 0

$ printf '0,25;1\n' > "$TMPDIR/x.csv"; beltwright sound "$TMPDIR/x.csv" 2>&1 | sed 's/.*x.csv/x.csv/'
x.csv: line 1 has a comma within a number; write 0.25, not 0,25
? 0

$ printf '1\n2\nthree\n' > "$TMPDIR/x.csv"; beltwright sound "$TMPDIR/x.csv" 2>&1 | sed 's/.*x.csv/x.csv/'
x.csv: line 3 has something that is no number
? 0

$ printf 'time,x\n0,1\n1,2\n2,2\n9,2\n' > "$TMPDIR/x.csv"; beltwright sound "$TMPDIR/x.csv" 2>&1 | sed 's/.*x.csv/x.csv/'
x.csv: the column of times does not give a rate of samples
? 0

$ head -c 300 examples/recordings/one-head.flac > "$TMPDIR/cut.flac"; beltwright sound "$TMPDIR/cut.flac" 2>&1 | sed 's/.*cut.flac/cut.flac/'
cut.flac: the recording holds no samples
? 0

$ beltwright sound tests/fixtures/picture/turned.jpg
beltwright: tests/fixtures/picture/turned.jpg: this is a picture; save the recording as WAV, FLAC, OGG, MP3 or CSV
? 2

$ beltwright sound no-such.wav
beltwright: no-such.wav: cannot be opened (No such file or directory)
? 2

$ beltwright listen examples/recordings/one-head.flac --machine examples/one-head.yaml --head 1
4 speeds heard; no bearing damage heard.

Recording: usable; 20 s, sound up to 3680 Hz, 26 dB under full scale.

What turns
  part                           heard, Hz  expected, Hz     off  lines
  ----------------------  ----------------  ------------  ------  -----
  belt splice of head 1    9.2961 ± 0.0017     9.6 ± 0.2  -2.9 %     16
  motor of head 1         29.129 ± 0.014      29.3 ± 0.3  -0.7 %      3
  contact drum of head 1  35.44 ± 0.03        36.7 ± 0.6  -3.4 %      3
  tension roll of head 1  48.628 ± 0.018      50.3 ± 1.2  -3.3 %      2
  - belt of head 1: 17.70 ± 0.05 m/s, by the file 18.3 ± 0.9 m/s.

  To name the part behind a mark, give these to the command source:
    --rate "9.2961 ± 0.0017 Hz is head1.splice"
    --rate "29.129 ± 0.014 Hz is head1.motor"
    --rate "35.44 ± 0.03 Hz is head1.drum"
    --rate "48.628 ± 0.018 Hz is head1.roller1"

Bearings
  - bearing of the contact drum of head 1: no damage heard.
    No family of blows at the rates of its parts, in any band.

  chance of                          cage  ball  outer  inner  none  cannot tell
  ---------------------------------  ----  ----  -----  -----  ----  -----------
  bearing of the contact drum of        -     -      -      -  95 %          4 %
  head 1

The tones that stand out most
      Hz  dB over noise   order  source
  ------  -------------  ------  --------------------------
   35.40             32   3.808  contact drum of head 1
  120.00             30  12.909  2 x mains
   29.10             28   3.130  motor of head 1
   70.90             25   7.627  2 x contact drum of head 1
   48.60             25   5.228  tension roll of head 1
   58.30             21   6.271  2 x motor of head 1
   18.60             20   2.001  2 x belt splice of head 1
    9.30             20   1.000  belt splice of head 1
  240.00             18  25.817  4 x mains
   46.50             17   5.002  5 x belt splice of head 1

To keep in mind
  - A bearing is judged by where its blows are in the beats of the sound, not by
    loudness. "No damage heard" from a telephone is no clean bill: dry grease
    and early wear make no blows.
? 0

$ beltwright listen examples/recordings/one-head.flac --bearing 6205
beltwright: --shaft: a bearing needs its shaft's speed, roughly: 1480 rpm
  shaft: speed of that bearing's shaft, roughly
? 2

$ seq 0 999 > "$TMPDIR/x.csv"; beltwright listen "$TMPDIR/x.csv" 2>&1 | sed 's/.*x.csv/x.csv/'
beltwright: --rate: the numbers have no column of times
  say how many samples a second they are: --rate "12 kHz"; or add a column named time_s
? 0
