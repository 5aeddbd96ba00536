# Jobs as a person keeps them: opened, added to, corrected, closed, moved, erased.

$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; rm -rf $T && beltwright job list && beltwright job new "bars across the grain" --site "Hollow Creek" --machine examples/three-head.yaml --at "2026-03-14 09:05" && beltwright job list
No jobs.
Job [..] is open. Its full name is 01KKNSEZK0[..]; [..] or last
is enough.
job     opened      kind       state  site          entries  title
------  ----------  ---------  -----  ------------  -------  -------------------
[..]  2026-03-14  complaint  open   Hollow Creek        1  bars across the
                                                             grain
? 0

# a study inside the job: its answer, then where it is kept; run again from what was kept
$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; cp examples/belts.csv $T/ && beltwright job add last wear --file $T/belts.csv | tail -n 1 && rm $T/belts.csv && beltwright job recheck last
Kept as [..] in job [..].
entry   study  version  run again
------  -----  -------  ---------
[..]  wear   0.1.0    the same
? 0

# a slip in a study's line is told as without a job, and nothing is kept
$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; beltwright job add last wear --belt "100 kg of a"
beltwright: --belt, area: needs an area such as 0.5 m² or 5 ft², got a mass ("100 kg")
  units that fit: mm², cm², m², in², ft²
? 2

$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; beltwright job add last note "the owner says it began on Monday" --at "2026-03-14 09:10" && beltwright job add last note "on Tuesday" --instead $(beltwright job show last --json | grep -B5 '"note"' | sed -n 's/.*"id": "\(.*\)",/\1/p') --at "2026-03-14 09:12" && beltwright job fix last "new belt on head 2" --result gone --at "2026-03-14 10:00" && beltwright job undo last && beltwright job show last
The note is kept as [..] in job [..].
The note is kept as [..] in job [..].
The fix is kept as [..] in job [..].
Taken back: fix [..]. It stays in the history.
bars across the grain

Job [..], complaint, open; opened 2026-03-14 09:05.
Site: Hollow Creek.
Machine: examples/three-head.yaml.

entry   when              what    says
------  ----------------  ------  ----------------------------------------------
[..]  2026-03-14 09:05  opened  bars across the grain
[..]  20[..]  study   wear: P120 cloth: 14 belts, 12 worn out, 2
                                  running or off for another reason
[..]  2026-03-14 09:10  note    on Tuesday (corrected)
[..]  2026-03-14 10:00  fix     taken back
? 0

$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; beltwright job close last --cause splice_high --note "same panel before and after" --at "2026-03-14 11:00" && beltwright job list --open && beltwright job close last
The closing is kept as [..] in job [..].
No jobs.
beltwright: the job is closed already
  reopen it first: beltwright job reopen [..]
? 2

$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; beltwright job reopen last --note "it is back" && beltwright job list --closed && beltwright job reopen last
The reopening is kept as [..] in job [..].
No jobs.
beltwright: the job is open
? 2

$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; for words in "tues" "splice panel" "monday splice" "hollow"; do beltwright job find $words | tail -n +3 | wc -l; done
2
2
0
2
? 0

# two stores, through an archive and by merging
$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; beltwright job add last party "A. Nobody" 555-0100 && beltwright job export $T/a.tar | paste -sd " " && tar tf $T/a.tar | sed 's/[0-9a-f]\{64\}/SHA/; s/[0-9A-Z]\{26\}/ID/' && beltwright job import $T/a.tar --store $T/other && beltwright job merge $T/other
The party is kept as [..] in job [..].
1 job in [..]/a.tar, with people's data as they are.
beltwright.json
files/SHA
files/SHA
jobs/ID.jsonl
Entries taken in: 9 new here (1 jobs, 2 files).
Merged: 0 new here (0 jobs, 0 files).
New there: 0 (0 jobs, 0 files).
? 0

# people's data, gone from here, and from there with the next merge
$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; beltwright job erase last --party && grep -c Nobody $T/own/jobs.db; beltwright job merge $T/other && grep -c Nobody $T/other/jobs.db; beltwright job show last | grep erased | cut -c 27-
Erased here: 1. That something was there stays on record. Other devices erase it
with their next merge; archives made before still hold it.
0
Merged: 0 new here (0 jobs, 0 files).
New there: 1 (1 jobs, 0 files).
0
[..]erased
? 0

# --- what cannot be

$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; beltwright job nwe
beltwright: there is no such thing to do with a job ("nwe")
  did you mean new?
? 2

$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; beltwright job show ZZZZ; beltwright job show Z; beltwright job show last ZZZZ
beltwright: there is no such job ("ZZZZ")
  beltwright job list shows the jobs there are
beltwright: this does not name a job ("Z")
  give its name, or the last four or more letters of it
beltwright: there is no such entry in this job ("ZZZZ")
  beltwright job show [..] lists its entries
? 2

$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/empty; beltwright job show last
beltwright: there are no jobs yet ("last")
  open one: beltwright job new TITLE
? 2

$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; beltwright job new "x" --kind complain; beltwright job new "x" --at yesterday; beltwright job erase last; beltwright job close last --guess
beltwright: --kind: is not known ("complain")
  one of: complaint inspection commissioning dispute
beltwright: --at: needs a date, with a time of day or without ("yesterday")
  write it as 2026-03-14 or "2026-03-14 09:05"
beltwright: it must be said what to erase
  name the entry, or give --party
beltwright: --guess needs a cause
  give --cause as well, or leave --guess out
? 2

$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; beltwright job add last nite "x"; beltwright job add last note; beltwright job add last file nosuchfile.jpg
beltwright: there is nothing of that name to add ("nite")
  did you mean note?
beltwright: what it says is missing
  job add JOB note "what is worth keeping"
beltwright: nosuchfile.jpg: it cannot be opened: No such file or directory
  give the name of a file that this user may read
? 2

$ T=$(dirname $(command -v beltwright))/test-job; export BELTWRIGHT_HOME=$T/own; printf 'no archive at all, only some words' > $T/b.tar; beltwright job import $T/b.tar; head -c 2000 $T/a.tar > $T/c.tar; beltwright job import $T/c.tar
beltwright: [..]/b.tar: the archive is cut short
  nothing was taken; fetch the archive again from where it was made
beltwright: [..]/c.tar: the archive is cut short
  nothing was taken; fetch the archive again from where it was made
? 2

$ beltwright job list --store /proc/nowhere
beltwright: /proc/nowhere: the store's folder cannot be made: No such file or directory
  name a folder that this user may make with --store
? 1

$ beltwright job list --store postgresql://nobody@127.0.0.1:1/none
beltwright: the server cannot be reached: connection to server at "127.0.0.1", port 1 failed: Connection refused
  see whether the network and the server are well; what was confirmed is kept
? 1

# --- what to do next, and what closed jobs teach

$ export BELTWRIGHT_HOME=$(dirname $(command -v beltwright))/test-job/taught; rm -rf $BELTWRIGHT_HOME; beltwright job new "chatter, bars across the grain" --machine examples/three-head.yaml >/dev/null && beltwright job ask last | tail -n 1 && beltwright job answer last sw_nothing y; beltwright job answer last known_good_belt maybe; beltwright job answer last known_good_belt n --quiet && beltwright job answer last known_good_belt y --quiet && beltwright job show last | tail -n 1
> beltwright job answer [..]
beltwright: there is no such check in the knowledge ("sw_nothing")
  beltwright job ask names the check it asks
beltwright: that is no answer to this ("maybe")
  y, n, ? if you don't know; help says what else
Kept.
Kept.
[..]  20[..]  answer  known_good_belt: y (corrected)
? 0

$ export BELTWRIGHT_HOME=$(dirname $(command -v beltwright))/test-job/taught; beltwright knowledge && beltwright job close last --cause drum_baering; for i in 1 2 3; do beltwright job new "chatter" --site S >/dev/null; beltwright job close last --cause drum_bearing >/dev/null; done; beltwright job new "x" >/dev/null; beltwright job close last --cause drum_bearing --guess >/dev/null; beltwright knowledge --site S
Learned from 0 proven jobs; what is believed is what is shipped.

beltwright: --cause: the knowledge has no such cause ("drum_baering")
  did you mean drum_bearing?
Learned from 3 proven jobs.
- Closed jobs that teach nothing: 1 guessed, 0 without a cause, 0 with a cause
  this program does not know.

cause         jobs  shipped    now  what it is
------------  ----  -------  -----  ---------------------------------------
drum_bearing     3    1.3 %  6.0 %  contact drum bearing worn, loose or dry
Shares of all complaints, before anything is asked. Causes no job spoke of share
the rest as shipped.
? 0

$ export BELTWRIGHT_HOME=$(dirname $(command -v beltwright))/test-job/taught; beltwright knowledge --reset; beltwright knowledge; beltwright knowledge --recall; beltwright knowledge | head -n 1; beltwright knowledge --reset --recall
Jobs closed until now teach nothing any more; --recall has them count again.
Learned from 0 proven jobs; what is believed is what is shipped.

All proven jobs count again.
Learned from 3 proven jobs.
beltwright: --reset and --recall undo each other; give one of them
? 2
