# The style check itself: a tree without faults, and one with every fault there is.
$ check_style --sizes tests/fixtures/style/good
2 functions; lines: median 4, nine in ten up to 4, longest 4
0 faults in 1 files
? 0
$ check_style tests/fixtures/style/bad
docs/path.md:1: machine-path: /home/ is a path of one machine
src/base/calls.c:6: call: strcpy is banned; use memcpy with a length, or bw_arena_text
src/base/calls.c:7: call: atoi is banned; use bw_count
src/base/calls.c:8: call: strtol without an end pointer
src/base/calls.c:9: call: strtod is banned; use bw_number
src/base/calls.c:10: call: malloc is banned; use bw_alloc
src/base/calls.c:11: call: setlocale is banned; use no locale but C, where a point is a point
src/base/calls.c:19: call: the point may become a comma; use bw_format
src/base/calls.c:20: call: the point may become a comma; use bw_format
src/base/calls.c:22: call: strcat is banned; use bw_buffer_text
src/base/lines.c:901: file-lines: 901 lines, at most 900
src/base/opening.c:1: opening: the licence does not stand alone below the first line
src/base/opening.c:1: opening: the first line is not "// opening.c - what it is"
src/base/second.c:1: opening: the licence does not stand alone below the first line
src/base/sizes.c:7: function-lines: too_long has 84 lines, at most 80
src/base/sizes.c:92: function-branches: too_branchy has 16 branches, at most 15
src/base/sizes.c:113: function-arguments: too_many has 6 arguments, at most 5
src/base/upward.c:4: include: base/ may not use machine/, which stands above it
src/base/upward.c:5: include: "nowhere/at_all.h" lies in no room
src/base/upward.c:6: include: base/ may not use study/, which stands above it
src/base/upward.c:8: include: gsl/ belongs to src/numeric/ alone
src/base/upward.c:9: include: libfyaml.h belongs to src/base/yaml.c alone
src/base/wide.c:3: width: 101 columns, at most 100
src/base/wide.c:5: blanks: a tab; indent with four spaces
src/base/wide.c:6: blanks: blanks at the end of the line
src/base/wide.c:7: word: TODO belongs into KNOWN_LIMITS.md
src/base/wide.c:7: word: FIXME belongs into KNOWN_LIMITS.md
src/base/wide.c:7: word: XXX belongs into KNOWN_LIMITS.md
src/base/wide.c:10: width: 143 columns, at most 100
src/cli/main.c:5: study-name: names the study rates; ask the registry
src/cli/main.c:6: study-name: names the study trace; ask the registry
src/cli/main.c:10: study-name: names the study rates; ask the registry
src/cli/main.c:11: study-name: names the study rates; ask the registry
src/study/rates/rates.c:8: call: printf is banned; use bw_text
src/study/rates/rates.c:9: call: fopen is banned; use a file field: the door reads it
src/study/rates/rates.c:10: call: time is banned; use an input field
src/study/rates/rates.c:4: include: study rates may not use study trace
src/study/rates/rates.c:5: include: study/ may not use report/, which stands above it
tool:1: opening: the licence does not stand alone below the first line
tools/style_exemptions.txt:3: exemption: allows nothing any more
40 faults in 13 files
? 1
$ check_style tests/fixtures/style/nowhere
check_style: tests/fixtures/style/nowhere: cannot be listed
? 2
$ check_style
usage: check_style [--sizes] ROOT
? 2
