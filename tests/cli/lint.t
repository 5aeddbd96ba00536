# What lint says: the shipped knowledge is clean; a shop's own file is laid on top.

$ beltwright lint --strict
104 causes, 187 checks, 98 remedies: 0 errors, 0 warnings
? 0

$ beltwright lint tests/fixtures/knowledge/shop.yaml
105 causes, 188 checks, 99 remedies: 0 errors, 0 warnings
? 0

$ beltwright lint tests/fixtures/knowledge/running-door.yaml
tests/fixtures/knowledge/running-door.yaml:7:12: error: refused: "strobe_splice" needs running belts behind an open door; see it through the window, hear it, film it, or fit a pick-up locked out (fit) and read it with the doors shut
beltwright: 1 to mend
? 2

$ beltwright lint --alone tests/fixtures/knowledge/poor.yaml
tests/fixtures/knowledge/poor.yaml:28:36: warning: the group belt has 33 % of all weight; 10 to 25 % is usual (common practice: belts are 15-20 % of calls)
tests/fixtures/knowledge/poor.yaml:28:36: warning: the group setup has 0 % of all weight; 2 to 60 % is usual
tests/fixtures/knowledge/poor.yaml:28:36: warning: the group shop has 0 % of all weight; 2 to 60 % is usual
tests/fixtures/knowledge/poor.yaml:28:5: warning: nothing but symptoms tells of "one"; add a question, a look or a trial
tests/fixtures/knowledge/poor.yaml:29:5: warning: nothing but symptoms tells of "two"; add a question, a look or a trial
tests/fixtures/knowledge/poor.yaml:29:5: error: no cure ends "two" (chance 0.5 or more); add one
tests/fixtures/knowledge/poor.yaml:29:5: error: "two" and "one" answer every check alike; add a check that tells them apart, or make them one
tests/fixtures/knowledge/poor.yaml:30:5: error: no symptom leads to "three"; give it under a symptom, or drop it
tests/fixtures/knowledge/poor.yaml:30:5: warning: nothing but symptoms tells of "three"; add a question, a look or a trial
tests/fixtures/knowledge/poor.yaml:30:5: error: no cure ends "three" (chance 0.5 or more); add one
tests/fixtures/knowledge/poor.yaml:39:13: warning: "the belt" is in every complaint; say more
tests/fixtures/knowledge/poor.yaml:50:13: warning: "idle" can't matter: every cause answers it alike
tests/fixtures/knowledge/poor.yaml:46:10: warning: "idle" speaks of "ladder" without a caution beside it
tests/fixtures/knowledge/poor.yaml:59:14: warning: "mend" is an electrician's work; its caution should say so
3 causes, 2 checks, 1 remedies: 4 errors, 10 warnings
beltwright: 4 to mend
? 2

$ beltwright lint tests/fixtures/knowledge/range.yaml
beltwright: tests/fixtures/knowledge/range.yaml:5:12: checks[0].also[0].chance: is out of range, takes 0.005 to 0.99 ("1.4")
        also: [splice_high at 1.4]
               ^
  write a plain number, 0.005 to 0.99
? 2

$ beltwright lint tests/fixtures/knowledge/reference.yaml
tests/fixtures/knowledge/reference.yaml:7:12: error: there is no symptom "line_alongside"
tests/fixtures/knowledge/reference.yaml:5:12: error: there is no cause "splice_hihg"; did you mean "splice_high"?
beltwright: 2 to mend
? 2

$ beltwright lint --alone
beltwright: --alone needs a file to judge
? 2
