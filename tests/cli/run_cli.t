# The runner of these very cases, on files that pass, fail, or are no case files.
$ run_cli . tests/fixtures/run_cli/passes.t
ok 1 - tests/fixtures/run_cli/passes.t:2 echo one; echo two >&2
ok 2 - tests/fixtures/run_cli/passes.t:7 exit 3
ok 3 - tests/fixtures/run_cli/passes.t:9 seq 5
ok 4 - tests/fixtures/run_cli/passes.t:14 seq 2
ok 5 - tests/fixtures/run_cli/passes.t:20 echo took 12.5 ms and 13 ms
ok 6 - tests/fixtures/run_cli/passes.t:23 printf 'no newline'
ok 7 - tests/fixtures/run_cli/passes.t:27 kill -SEGV $$
ok 8 - tests/fixtures/run_cli/passes.t:29 cat; echo "$LC_ALL $TZ ${LANG-unset}"
1..8
? 0
$ run_cli . tests/fixtures/run_cli/fails.t
not ok 1 - tests/fixtures/run_cli/fails.t:1 echo other
# expected
#   one
# got
#   other
# exit status 0, expected 0
not ok 2 - tests/fixtures/run_cli/fails.t:4 echo one
# expected
#   one
# got
#   one
# exit status 0, expected 1
not ok 3 - tests/fixtures/run_cli/fails.t:7 seq 3
# expected
#   1
#   ...
#   4
# got
#   1
#   2
#   3
# exit status 0, expected 0
not ok 4 - tests/fixtures/run_cli/fails.t:12 echo took 12 s
# expected
#   took [..] ms
# got
#   took 12 s
# exit status 0, expected 0
not ok 5 - tests/fixtures/run_cli/fails.t:15 echo one; echo more
# expected
#   one
# got
#   one
#   more
# exit status 0, expected 0
not ok 6 - tests/fixtures/run_cli/fails.t:18 true
# expected
#   ...
#   one
# got
# exit status 0, expected 0
1..6
? 1
$ run_cli . tests/fixtures/run_cli/open.t
run_cli: tests/fixtures/run_cli/open.t:1: this case has no '? status'
? 1
$ run_cli . tests/fixtures/run_cli/outside.t
run_cli: tests/fixtures/run_cli/outside.t:1: text outside a case
? 1
$ run_cli . tests/fixtures/run_cli/status.t
run_cli: tests/fixtures/run_cli/status.t:3: this '? status' is no number
? 1
$ run_cli . tests/fixtures/run_cli/empty.t
1..0
? 1
$ run_cli . tests/fixtures/run_cli/nowhere.t
run_cli: tests/fixtures/run_cli/nowhere.t: cannot be read
? 1
$ run_cli --nothing . x.t
run_cli: --nothing: unknown option
? 1
$ run_cli .
usage: run_cli [--update] [-e NAME=VALUE]... BIN-DIR FILE.t...
? 2
# -e reaches the command, and stands in place of what would be set.
$ run_cli -e LC_ALL=C -e COLOUR=red . tests/fixtures/run_cli/passes.t | tail -n 8
ok 7 - tests/fixtures/run_cli/passes.t:27 kill -SEGV $$
not ok 8 - tests/fixtures/run_cli/passes.t:29 cat; echo "$LC_ALL $TZ ${LANG-unset}"
# expected
#   C.UTF-8 UTC0 unset
# got
#   C UTC0 unset
# exit status 0, expected 0
1..8
? 0
# --update writes what came, keeps what still fits, and all passes then.
$ t=$(mktemp) && cp tests/fixtures/run_cli/fails.t "$t" && run_cli --update . "$t" | grep -c '^ok ' && sed 's/^/| /' "$t" && run_cli . "$t" | grep -c '^ok '; rm "$t"
6
| $ echo other
| other
| ? 0
| $ echo one
| one
| ? 0
| $ seq 3
| 1
| 2
| 3
| ? 0
| $ echo took 12 s
| took 12 s
| ? 0
| $ echo one; echo more
| one
| more
| ? 0
| $ true
| ? 0
6
? 0
$ t=$(mktemp) && cp tests/fixtures/run_cli/passes.t "$t" && run_cli --update . "$t" >/dev/null && cmp "$t" tests/fixtures/run_cli/passes.t; rm "$t"
? 0
