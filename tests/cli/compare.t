# Before and after, from two answers in files or two entries of a job.

$ T=$(dirname $(command -v beltwright))/test-compare; rm -rf $T; mkdir $T; tap() { beltwright airflow --tap "$1 at main coefficient 0.8 diameter 8 in" --json; }; tap "1.9 inH2O" > $T/a.json && tap "3.0 inH2O" > $T/b.json && tap "2.0 inH2O" > $T/c.json && beltwright compare $T/a.json $T/b.json --better more && beltwright compare $T/a.json $T/b.json --better less --json && beltwright compare $T/a.json $T/c.json | head -n 3
what               before           after            difference       verdict
-----------------  ---------------  ---------------  ---------------  --------
port-enough, main  2620 ± 100 m³/h  3300 ± 130 m³/h  350 to 997 m³/h  improved

The rule: the difference with its 95 % interval. All of it on one side of zero:
a change. Zero within it, and a change by 50 % would have shown: no difference
shown. Else, or without a ±: not enough data.
Both must be measured alike: same panel stock, settings and belt, the machine as
warm as before.
{
  "shape": "compare/1",
  "study": "airflow",
  "matters": 0.5,
  "pairs": [
    {
      "kind": "port-enough",
      "about": "main",
      "before": {
        "value": 2624.26482283,
        "sd": 102.788105276,
        "unit": "m³/h"
      },
      "after": {
        "value": 3297.5507323,
        "sd": 129.159598862,
        "unit": "m³/h"
      },
      "difference": 673.28590947,
      "low": 349.757672426,
      "high": 996.814146514,
      "verdict": "worse"
    }
  ]
}
what               before           after            difference        verdict
-----------------  ---------------  ---------------  ----------------  ----------------
port-enough, main  2620 ± 100 m³/h  2690 ± 110 m³/h  -220 to 357 m³/h  no difference
? 0

$ T=$(dirname $(command -v beltwright))/test-compare; export BELTWRIGHT_HOME=$T/store; beltwright job new "dust" >/dev/null; for suction in 1.9 3.0; do beltwright job add last airflow --tap "$suction inH2O at main coefficient 0.8 diameter 8 in" --json | sed -n 's/.*"entry": "\(.*\)",/\1/p' > $T/$suction; done; beltwright compare $(cat $T/1.9) $(cat $T/3.0) --job last --better more | head -n 3
what               before           after            difference       verdict
-----------------  ---------------  ---------------  ---------------  --------
port-enough, main  2620 ± 100 m³/h  3300 ± 130 m³/h  350 to 997 m³/h  improved
? 0

$ T=$(dirname $(command -v beltwright))/test-compare; beltwright wear --file examples/belts.csv --json > $T/w.json && beltwright compare $T/w.json $T/w.json --plot $T/plots | head -n 4 && ls $T/plots
what                   before   after    verdict
---------------------  -------  -------  ---------------
belt-life, P120 cloth  2517 m²  2517 m²  not enough data
belt-life, P120 paper  1341 m²  1341 m²  not enough data
belts-still-cutting-after.svg
belts-still-cutting-before.svg
? 0

$ T=$(dirname $(command -v beltwright))/test-compare; echo '{"x": 1}' > $T/x.json; beltwright compare $T/a.json $T/x.json; beltwright compare $T/a.json $T/w.json; beltwright compare $T/a.json $T/nosuch.json; beltwright compare $T/a.json $T/b.json --better blue; beltwright compare $T/a.json $T/b.json --matters 0
beltwright: [..]/x.json: this is not the answer of a study
  give what a study printed with --json, by this program
beltwright: one is of airflow, the other of wear
  compare two answers of one study
beltwright: there is no such file
  looked for [..]/nosuch.json; give the name of a file, with its folder
beltwright: --better: is less or more ("blue")
  write less or more
beltwright: --matters: needs a share above 0
  write it as 20 %
? 2
