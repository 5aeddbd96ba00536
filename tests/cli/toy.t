# A study's answers, here the toy's: text, JSON, findings, pictures, documents, schema, completion.

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "900 mm" --units si
The batch weighs 21.1 ± 0.6 kg.

part        mass
------  --------
panels  21.06 kg
? 0

# Options before words, values after "=", shortened names, US units in and out.
$ beltwright-toy toy --len=78.74in --wid "35 7/16 in" --thick "3/4 in by caliper" tests/house/stock.yaml --units us
The batch weighs 49.14 ± 0.13 lb.

part        mass
------  --------
panels  49.14 lb
? 0

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "900 mm" --panels 10 --finish oiled --customer "a shop" --crate "mass=25 kg,most=500 kg" --cut "100 cm² deep 5 mm times 4" --cut "area=50 cm²,note=\"left, then right\"" --json
{
  "shape": "toy/1",
  "mass": {
    "value": 237.315,
    "sd": 5.85,
    "unit": "kg"
  },
  "guess": {
    "value": 234.226995335,
    "unit": "kg"
  },
  "panels": 10,
  "customer": "a shop",
  "thickness": {
    "value": 18,
    "sd": 0.5,
    "unit": "mm"
  },
  "parts": [
    {
      "name": "panels",
      "mass": {
        "value": 208.715,
        "unit": "kg"
      }
    },
    {
      "name": "oil",
      "mass": {
        "value": 3.6,
        "unit": "kg"
      }
    },
    {
      "name": "crate",
      "mass": {
        "value": 25,
        "unit": "kg"
      }
    }
  ]
}
? 0

# The same as a document: JSON on standard input, then YAML in a file with the stock's file named beside it.
$ echo '{"shape": "toy-input/1", "stock": {"name": "board", "density": {"value": 650, "unit": "kg/m³"}}, "length": "2 m", "width": {"value": 900, "sd": 2, "unit": "mm"}, "support": {"trestles": {"number": 3}}}' | beltwright-toy toy --input - --json
{
  "shape": "toy/1",
  "mass": {
    "value": 21.06,
    "sd": 0.585,
    "unit": "kg"
  },
  "guess": {
    "value": 20.7511995335,
    "unit": "kg"
  },
  "panels": 1,
  "thickness": {
    "value": 18,
    "sd": 0.5,
    "unit": "mm"
  },
  "parts": [
    {
      "name": "panels",
      "mass": {
        "value": 21.06,
        "unit": "kg"
      }
    }
  ]
}
? 0

$ printf 'stock: tests/house/stock.yaml\nlength: 2 m\nwidth: 900 mm\ncuts:\n  - 100 cm² deep 5 mm\n  - area: 50 cm²\n    times: 2\n' | beltwright-toy toy --input - --units si
The batch weighs 20.9 ± 0.6 kg.

part        mass
------  --------
panels  20.91 kg
? 0

$ beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "900 mm" --findings -
{
  "shape": "findings/1",
  "study": "toy",
  "findings": [
    {
      "kind": "toy-mass",
      "about": "batch",
      "value": 21.06,
      "sd": 0.585,
      "unit": "kg"
    }
  ]
}
? 0

# Another seed, another guess; the same seed, the same.
$ for seed in 1 2 2; do beltwright-toy toy tests/house/stock.yaml --length "2 m" --width "900 mm" --seed $seed --json | grep -A1 guess; done
  "guess": {
    "value": 20.7511995335,
  "guess": {
    "value": 21.4742993009,
  "guess": {
    "value": 21.4742993009,
? 0

$ beltwright-toy help toy
Usage: beltwright toy STOCK --length VALUE --width VALUE [OPTION]...

Adds up what a batch of panels weighs.

Everything in it is invented: it is there to be driven through every face of the
program.

Words
  STOCK  what the panels are made of

Options
  --length VALUE     length of one panel (a length, 0.05 to 10 m)
  --width VALUE      width of one panel (a length, 0.05 to 3 m)
  --thickness VALUE  thickness of one panel (a length, 1 to 200 mm; without it
                     18 mm by rule)
      by rule  read off a steel rule
      by caliper  measured with a caliper
  --panels N         how many panels (a whole number, 1 to 10000; without it 1)
  --finish CHOICE    finish of both faces (without it raw)
      raw  as sanded
      oiled  oiled, 0.1 kg/m² a face
  --customer TEXT    who gets them (a text)
  --crate CRATE      what they are packed in
      CRATE is written key=value,...
        mass  mass of the empty crate (a mass, 0 to 500 kg)
        most  what crate and panels may weigh together (a mass, 0 to 5000 kg)
  --cut CUT          a cut-out in every panel; may be given several times
      CUT is written AREA [deep DEPTH] [times TIMES] [is FILLED], or
      key=value,...
        area  area of the cut-out (an area, 1e-06 to 1 m²)
        depth  depth of the cut-out (a length, 0 to 100 mm)
        times  how often it occurs in one panel (a whole number, 1 to 100;
               without it 1)
        filled  what becomes of it (without it open)
            open  left open
            filled  filled with the same stock
        note  what it is for (a text)
  --photo FILE       the batch in a photo
  --seed N           start of the random numbers; the same seed gives the same
                     answer (a whole number, 0 to 2147483647; without it 1)
  --input FILE       take the whole input from one document, JSON or YAML, in
                     place of all words and options above; - reads standard
                     input
  --json             print the answer as JSON
  --units si|us      units of the printed answer; without it, those of the
                     locale
  --plot FOLDER      write each plot into the folder as an SVG picture
  --findings FILE    write the findings as JSON; - writes them to standard
                     output in place of the answer
  --unjailed         decode even where this machine cannot build the full jail;
                     only for pictures you trust
  -h, --help         say what the command does and takes

Only in a document (--input)
  support  what they lie on
      trestles  on trestles
      table  on a lift table

Example
  beltwright toy tests/house/stock.yaml --length "2 m" --width "900 mm"
? 0

$ beltwright-toy man toy
.TH BELTWRIGHT\-TOY 1 "" "beltwright 0.1.0"
.SH NAME
beltwright\-toy \- weigh a batch of panels
.SH SYNOPSIS
\fBbeltwright\fR toy STOCK \-\-length VALUE \-\-width VALUE [OPTION]...
.SH DESCRIPTION
Adds up what a batch of panels weighs.
.PP
Everything in it is invented: it is there to be driven through every
face of the program.
.SH OPTIONS
.TP
\fBSTOCK\fR
What the panels are made of.
.TP
\fB\-\-length VALUE\fR
Length of one panel (a length, 0.05 to 10 m).
.TP
\fB\-\-width VALUE\fR
Width of one panel (a length, 0.05 to 3 m).
.TP
\fB\-\-thickness VALUE\fR
Thickness of one panel (a length, 1 to 200 mm; without it 18 mm by rule).
.RS
.TP
\fBby rule\fR
Read off a steel rule.
.TP
\fBby caliper\fR
Measured with a caliper.
.RE
.TP
\fB\-\-panels N\fR
How many panels (a whole number, 1 to 10000; without it 1).
.TP
\fB\-\-finish CHOICE\fR
Finish of both faces (without it raw).
.RS
.TP
\fBraw\fR
As sanded.
.TP
\fBoiled\fR
Oiled, 0.1 kg/m\[u00B2] a face.
.RE
.TP
\fB\-\-customer TEXT\fR
Who gets them (a text).
.TP
\fB\-\-crate CRATE\fR
What they are packed in.
.RS
.PP
CRATE is written key=value,...
.TP
\fBmass\fR
Mass of the empty crate (a mass, 0 to 500 kg).
.TP
\fBmost\fR
What crate and panels may weigh together (a mass, 0 to 5000 kg).
.RE
.TP
\fB\-\-cut CUT\fR
A cut\-out in every panel; may be given several times.
.RS
.PP
CUT is written AREA [deep DEPTH] [times TIMES] [is FILLED], or key=value,...
.TP
\fBarea\fR
Area of the cut\-out (an area, 1e\-06 to 1 m\[u00B2]).
.TP
\fBdepth\fR
Depth of the cut\-out (a length, 0 to 100 mm).
.TP
\fBtimes\fR
How often it occurs in one panel (a whole number, 1 to 100; without
it 1).
.TP
\fBfilled\fR
What becomes of it (without it open).
.RS
.TP
\fBopen\fR
Left open.
.TP
\fBfilled\fR
Filled with the same stock.
.RE
.TP
\fBnote\fR
What it is for (a text).
.RE
.TP
\fB\-\-photo FILE\fR
The batch in a photo.
.TP
\fB\-\-seed N\fR
Start of the random numbers; the same seed gives the same answer (a
whole number, 0 to 2147483647; without it 1).
.TP
\fB\-\-input FILE\fR
Take the whole input from one document, JSON or YAML, in place of all
words and options above; \- reads standard input.
.TP
\fB\-\-json\fR
Print the answer as JSON.
.TP
\fB\-\-units si|us\fR
Units of the printed answer; without it, those of the locale.
.TP
\fB\-\-plot FOLDER\fR
Write each plot into the folder as an SVG picture.
.TP
\fB\-\-findings FILE\fR
Write the findings as JSON; \- writes them to standard output in place
of the answer.
.TP
\fB\-\-unjailed\fR
Decode even where this machine cannot build the full jail; only for
pictures you trust.
.TP
\fB\-h, \-\-help\fR
Say what the command does and takes.
.SH ONLY IN A DOCUMENT
.TP
\fBsupport\fR
What they lie on.
.RS
.TP
\fBtrestles\fR
On trestles.
.TP
\fBtable\fR
On a lift table.
.RE
.SH EXIT STATUS
.TP
0
Done.
.TP
1
The work failed.
.TP
2
Unusable arguments or input.
.SH EXAMPLES
beltwright toy tests/house/stock.yaml \-\-length "2 m" \-\-width "900 mm"
? 0

$ beltwright-toy schema stock
{
  "$schema": "https://json-schema.org/draft/2020-12/schema",
  "title": "stock",
  "description": "what the panels are made of",
  "type": "object",
  "properties": {
    "shape": {
      "const": "stock/1"
    },
    "name": {
      "description": "what people call the stock",
      "type": "string"
    },
    "density": {
      "description": "density of the stock (a density, 50 to 2000 kg/m³)",
      "anyOf": [
        {
          "type": "string"
        },
        {
          "type": "object",
          "properties": {
            "value": {
              "type": "number"
            },
            "sd": {
              "type": "number"
            },
            "unit": {
              "type": "string",
              "examples": [
                "kg/m³",
                "lb/ft³"
              ]
            }
          },
          "required": [
            "value",
            "unit"
          ],
          "additionalProperties": false
        }
      ]
    }
  },
  "required": [
    "density"
  ],
  "additionalProperties": false
}
? 0

# What bash offers after each of these lines.
$ bash tests/cli/complete.sh "beltwright sel" "beltwright toy --fi" "beltwright toy --finish " "beltwright toy --units u" "beltwright help t" "beltwright completion "
beltwright sel -> selfcheck
beltwright toy --fi -> --finish --findings
beltwright toy --finish  -> raw oiled
beltwright toy --units u -> us
beltwright help t -> trace thickness toy table
beltwright completion  -> bash zsh
? 0
