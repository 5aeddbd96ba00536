# Manual pages as an independent reader sees them: nothing to complain of but that they bear no date.

$ for page in "" help man table selfcheck schema completion toy; do beltwright-toy man $page | mandoc -Tlint -Wstyle; done | sort -u | sed 's/.*: WARNING/WARNING/' | sort -u
WARNING: missing date, using "": TH
? 0

# The man page of every command, the studies among them, is there and has its parts.
$ for page in $(beltwright help | sed -n 's/^  \([a-z-]*\)  .*/\1/p'); do beltwright man $page | grep -c '^\.SH \(NAME\|SYNOPSIS\|DESCRIPTION\|OPTIONS\|EXIT STATUS\|EXAMPLES\)$'; done | sort -u
6
? 0
