# The tables as a person asks for them.

$ beltwright table
table     what it holds                                                     rows
--------  ----------------------------------------------------------------  ----
grits     Grit sizes of coated abrasives                                      52
woods     Woods and panels as the sander meets them                           66
removal   How much stock a grit takes, and how much the next one must take     7
          after it
cutting   Energy to sand off a volume of wood                                  5
finishes  Which last grit a finish wants                                       6
contacts  What a pressing part can take off                                    8
backings  What carries the grain of a sanding belt                             8
joints    How the ends of a belt are joined, in words                          7
coats     How densely the grain stands                                         3
minerals  The grain of a sanding belt                                          6
bearings  Rolling bearings by their inner geometry                             4
elbows    Loss of round 90 degree elbows                                       6
gates     Loss of a round slide gate by how far it is open                     8
hoods     What air loses where it enters a duct                               11
movement  How much wood moves with its moisture                               60
soils     Soil resistivity, for an electrician's first guess at a ground       7
          rod
? 0

$ beltwright table grits P80
Grit sizes of coated abrasives
  grit  series  size µm  class  source  status
  ----  ------  -------  -----  ------  -------
  P80   FEPA P      201  macro       1  read in

  Sources
  1. a public encyclopedic page on sandpaper

  Average grain size of every grade in the two series that are printed on
  sanding belts: FEPA P (ISO 6344, written P80) and CAMI (ANSI B74.18, printed
  as a bare 80). They are two scales: compare sizes, never numbers. Up to 220
  equal numbers lie within 15 % of each other; from 240 on they part, and CAMI
  400 is as fine as P800.

  FEPA P macro grades are told apart by sieving, micro grades by settling in a
  liquid. The tolerance is what the standard allows the average of a micro
  grade. F grades, for grinding wheels, are a third scale and not in this table.

  Public pages and trade charts differ by a few percent, most of all in the CAMI
  series; the notes say where, in µm. Ask the belt's maker where it matters.
  Licence: as the program; sizes of grades are facts.
? 0

$ beltwright table grits cami 400
Grit sizes of coated abrasives
  grit      series  size µm  source  status   note
  --------  ------  -------  ------  -------  --------------------
  CAMI 400  CAMI       23.6       1  read in  a chart: 22, as P800

  Sources
  1. a public guide to grading

  Average grain size of every grade in the two series that are printed on
  sanding belts: FEPA P (ISO 6344, written P80) and CAMI (ANSI B74.18, printed
  as a bare 80). They are two scales: compare sizes, never numbers. Up to 220
  equal numbers lie within 15 % of each other; from 240 on they part, and CAMI
  400 is as fine as P800.

  FEPA P macro grades are told apart by sieving, micro grades by settling in a
  liquid. The tolerance is what the standard allows the average of a micro
  grade. F grades, for grinding wheels, are a third scale and not in this table.

  Public pages and trade charts differ by a few percent, most of all in the CAMI
  series; the notes say where, in µm. Ask the belt's maker where it matters.
  Licence: as the program; sizes of grades are facts.
? 0

$ beltwright table bearings
Rolling bearings by their inner geometry
  bearing  count  diameter in  pitch circle in  angle deg  source  status       note
  -------  -----  -----------  ---------------  ---------  ------  -----------  ---------------
  6203         8       0.2656            1.122       0          1  from memory
  6205         9       0.3126            1.537       0          2  read in
  rig-8        8       0.235             1.245       0          3  from memory
  rig-16      16       0.331             2.815      15.17       4  from memory  one of two rows

  Sources
  1. a university test stand's public bearing page, fan end
  2. a university test stand's public bearing page, drive end
  3. a public bearing-fault data set of an engineering society
  4. a public run-to-failure data set of a research centre

  What sets the rates at which a bearing's parts pass each other: how many
  rolling elements, how thick, on what pitch circle, at what contact angle. Few
  bearings stand here, because few are published: a designation such as 6205
  fixes bore, outside diameter and width (ISO 15), not the balls, and makers
  differ. For any other bearing give the geometry itself: 9 balls of 7.94 mm on
  38.5 mm.

  A 6205 in a public worked example has 9 balls of 7.94 mm on 38.5 mm; they pass
  the outer race 0.4 % less often. rig-8 and rig-16 are the bearings of two
  public test stands, kept for the published checks. Licence: as the program;
  dimensions are facts.
? 0

$ beltwright table grits P80 --json
{
  "shape": "table/1",
  "title": "Grit sizes of coated abrasives",
  "notes": [
    "Average grain size of every grade in the two series that are printed on sanding belts: FEPA P (ISO 6344, written P80) and CAMI (ANSI B74.18, printed as a bare 80). They are two scales: compare sizes, never numbers. Up to 220 equal numbers lie within 15 % of each other; from 240 on they part, and CAMI 400 is as fine as P800.",
    "FEPA P macro grades are told apart by sieving, micro grades by settling in a liquid. The tolerance is what the standard allows the average of a micro grade. F grades, for grinding wheels, are a third scale and not in this table.",
    "Public pages and trade charts differ by a few percent, most of all in the CAMI series; the notes say where, in µm. Ask the belt's maker where it matters. Licence: as the program; sizes of grades are facts."
  ],
  "columns": [
    {
      "name": "grit"
    },
    {
      "name": "series"
    },
    {
      "name": "size",
      "unit": "µm"
    },
    {
      "name": "tolerance",
      "unit": "µm"
    },
    {
      "name": "class"
    },
    {
      "name": "source"
    },
    {
      "name": "status"
    },
    {
      "name": "note"
    }
  ],
  "rows": [
    {
      "grit": "P80",
      "series": "FEPA P",
      "size": 201,
      "class": "macro",
      "source": "a public encyclopedic page on sandpaper",
      "status": "read in"
    }
  ]
}
? 0

$ beltwright table grit
beltwright: no table of that name ("grit")
  did you mean grits?
? 2

$ beltwright table glue
beltwright: no table of that name ("glue")
  there are: backings, bearings, coats, contacts, cutting, elbows, finishes, gates, grits, hoods, joints, minerals, movement, removal, soils, woods
? 2

$ beltwright table grits emerald
beltwright: no row of this table has all these words
  leave words out; without any, the whole table is printed
? 2
