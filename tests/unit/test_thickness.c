// test_thickness.c - the study `thickness`: known panels come out, bad ones are told.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/thickness/thickness.h"

#include "base/format.h"
#include "numeric/random.h"
#include "study/thickness/part.h"
#include "support/ask.h"
#include "support/torture.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#define NEAR(a, b, tolerance) assert_true(fabs((a) - (b)) <= (tolerance))
#define MM 1e-3

static struct bw_arena *arena;
static int set_up(void **state) {
    (void)state;
    arena = bw_arena_new(0);
    return arena == NULL;
}
static int tear_down(void **state) {
    (void)state;
    bw_arena_free(arena);
    return 0;
}

// --- documents -----------------------------------------------------------------------------------

static char document[200000];
static size_t length;
static bool first_reading;

static void add(const char *format, ...) BW_PRINTF(1, 2);
static void add(const char *format, ...) {
    va_list args;
    va_start(args, format);
    length += (size_t)bw_vformat(document + length, sizeof document - length, format, args);
    va_end(args);
    assert_true(length < sizeof document);
}
// Opens a document with these fields and the list of readings.
static void open_readings(const char *fields) {
    length = 0;
    first_reading = true;
    add("{%s, \"readings\": [", fields);
}
// A reading in mm with further fields.
static void reading(double value_mm, const char *fields, ...) BW_PRINTF(2, 3);
static void reading(double value_mm, const char *fields, ...) {
    add("%s{\"value\": \"%.6f mm\"", first_reading ? "" : ", ", value_mm);
    first_reading = false;
    char text[400];
    va_list args;
    va_start(args, fields);
    (void)bw_vformat(text, sizeof text, fields, args);
    va_end(args);
    add("%s%s}", text[0] == '\0' ? "" : ", ", text);
}
static const struct thickness_output *close_readings(void) {
    add("]}");
    return must_ask(arena, &bw_study_thickness, document);
}

static const struct thickness_term *term(const struct thickness_output *out, const char *id) {
    for (size_t i = 0; i < out->terms.n; i++) {
        const struct thickness_term *t = (const struct thickness_term *)out->terms.items + i;
        if (strcmp(t->id, id) == 0) return t;
    }
    return NULL;
}

#define PANELS "\"panel_length\": \"900 mm\", \"panel_width\": \"600 mm\""
static const char *const PLACES[3][3] = {
    {"LF", "CF", "RF"}, {"LM", "CM", "RM"}, {"LB", "CB", "RB"}};

// --- shape ---------------------------------------------------------------------------------------

static void a_known_shape_comes_out(void **state) {
    (void)state;
    open_readings(PANELS);
    for (int p = 0; p < 3; p++) {
        for (int row = 0; row < 3; row++) {
            for (int side = 0; side < 3; side++) {
                double y = (side - 1) * 0.27;  // m; 30 mm from the edges
                double t = 18 + 0.1 * p + 0.3 * y + 0.05 * (1.0 / 3 - pow(y / 0.3, 2)) -
                           0.08 * (row == 0) + 0.04 * (row == 2);
                reading(t, "\"place\": \"%s\", \"panel\": \"p%d\"", PLACES[row][side], p);
            }
        }
    }
    const struct thickness_output *out = close_readings();
    NEAR(out->slope.v, 0.3e-3, 1e-8);
    NEAR(term(out, "taper")->value.v, 0.3 * 0.6 * MM, 1e-8);
    NEAR(term(out, "crown")->value.v, 0.05 * MM, 1e-8);
    NEAR(term(out, "lead")->value.v, -0.08 * MM, 1e-8);
    NEAR(term(out, "trail")->value.v, 0.04 * MM, 1e-8);
    assert_int_equal(out->panels.n, 3);
    const struct thickness_panel *panels = out->panels.items;
    for (int p = 0; p < 3; p++) NEAR(panels[p].off.v, 0.1 * (p - 1) * MM, 1e-8);
    assert_int_equal(out->wrong.n, 0);
    assert_int_equal(out->map.n, 9);
    assert_non_null(strstr(out->answer, "hicker on the right"));
}

static void what_cannot_be_told_is_not(void **state) {
    (void)state;
    open_readings(PANELS);  // front and back only: an end against what?
    for (int side = 0; side < 3; side += 2)
        for (int row = 0; row < 3; row += 2)
            reading(18 + 0.1 * side, "\"place\": \"%s\"", PLACES[row][side]);
    const struct thickness_output *out = close_readings();
    assert_non_null(term(out, "taper"));
    assert_null(term(out, "crown"));
    assert_null(term(out, "lead"));
    open_readings(PANELS);
    reading(18, "\"place\": \"CM\"");
    out = close_readings();
    assert_non_null(strstr(out->answer, "Too few"));
}

static void a_worn_lane_is_found_where_it_is(void **state) {
    (void)state;
    uint64_t random = 4;
    for (int worn = 0; worn < 2; worn++) {
        open_readings("\"panel_length\": \"900 mm\", \"panel_width\": \"1000 mm\"");
        for (int p = 0; p < 3; p++)
            for (int row = 0; row < 3; row++)
                for (int c = 0; c < 7; c++)
                    reading(18 + (worn && c == 5 ? 0.10 : 0) + 0.015 * bw_random_normal(&random),
                            "\"across\": \"%d mm\", \"along\": \"%d mm\", \"panel\": \"%d\"",
                            50 + 150 * c, 200 + 250 * row, p);
        const struct thickness_output *out = close_readings();
        const struct thickness_term *lane = term(out, "lane");
        assert_int_equal(lane != NULL, worn);
        if (!worn) continue;
        NEAR(lane->value.v, 0.10 * MM, 3 * lane->value.sd);
        assert_string_equal(lane->name, "lane 300 mm right of the middle");
        assert_true(out->wrong.n <= 1);
    }
}

// --- panel or machine ----------------------------------------------------------------------------

// The test everybody does: strips A and B left and right, swapped and run again. Machine 0.20 mm
// over 1.0 m, B 0.05 thicker, the second run takes 0.10 more. By hand: half of the swapped
// difference is the machine.
static void two_strips_swapped_tell_machine_from_strip(void **state) {
    (void)state;
    open_readings("\"panel_length\": \"500 mm\", \"panel_width\": \"100 mm\", "
                  "\"machine_width\": \"1100 mm\"");
    for (int run = 1; run <= 2; run++) {
        for (int b = 0; b < 2; b++) {
            bool right = (run == 1) == (b == 1);
            double t = 20 + 0.05 * b + 0.20 * (right ? 0.5 : -0.5) - 0.10 * (run - 1);
            reading(t, "\"panel\": \"%c\", \"run\": %d, \"lane\": \"%s\"", 'A' + b, run,
                    right ? "right" : "left");
        }
    }
    const struct thickness_output *out = close_readings();
    NEAR(out->slope.v, 0.2e-3, 1e-9);
    NEAR(out->over.v, 1.0, 1e-9);
    const struct thickness_panel *panels = out->panels.items;
    NEAR(panels[1].off.v - panels[0].off.v, 0.05 * MM, 1e-9);
}

static void strips_head_by_head_name_the_head(void **state) {
    (void)state;
    open_readings("\"panel_length\": \"500 mm\", \"panel_width\": \"100 mm\", "
                  "\"machine_width\": \"1100 mm\"");
    for (int head = 1; head <= 2; head++)
        for (int run = 1; run <= 2; run++)
            for (int b = 0; b < 2; b++) {
                bool right = (run == 1) == (b == 1);
                double t = 20 + 0.03 * b + (head == 2 ? 0.16 : 0) * (right ? 0.5 : -0.5);
                reading(t, "\"panel\": \"%c%d\", \"run\": %d, \"lane\": \"%s\", \"only\": %d",
                        'A' + b, head, run, right ? "right" : "left", head);
            }
    const struct thickness_output *out = close_readings();
    assert_int_equal(out->heads.n, 2);
    const struct thickness_head *heads = out->heads.items;
    NEAR(heads[0].taper.v, 0, 1e-9);
    NEAR(heads[1].taper.v, 0.16 * MM, 1e-9);
    assert_string_equal(heads[1].head, "head 2");
}

static void a_twin_turned_shows_what_came_with_the_panel(void **state) {
    (void)state;
    open_readings(PANELS);
    for (int p = 0; p < 2; p++)
        for (int row = 0; row < 3; row++)
            for (int side = 0; side < 3; side++) {
                int turn = p == 0 ? 1 : -1;
                double own = (side - 1) * 0.27;
                int end = p == 0 ? row : 2 - row;  // 0: went in first
                double t = 18 + 0.2 * own * turn + 0.1 * own - 0.06 * (end == 0);
                reading(t, "\"place\": \"%s\", \"panel\": \"%d\", \"turned\": \"%s\"",
                        PLACES[row][side], p, p == 0 ? "no" : "turned");
            }
    const struct thickness_output *out = close_readings();
    NEAR(term(out, "taper")->value.v, 0.2 * 0.6 * MM, 1e-8);
    NEAR(term(out, "panel-taper")->value.v, 0.1 * 0.6 * MM, 1e-8);
    NEAR(term(out, "lead")->value.v, -0.06 * MM, 1e-8);
    NEAR(term(out, "panel-front")->value.v, 0, 1e-8);
}

static void removal_is_head_by_head(void **state) {
    (void)state;
    uint64_t random = 9;
    static const double takes[3] = {0.40, 0.15, 0.04};
    open_readings(PANELS);
    for (int p = 0; p < 3; p++)
        for (int side = 0; side < 3; side++) {
            double t = 19 + 0.1 * p + 0.05 * side;
            reading(t, "\"place\": \"%s\", \"panel\": \"%d\", \"when\": \"before\"",
                    PLACES[1][side], p);
            for (int head = 1; head <= 3; head++) {
                t -= takes[head - 1];
                reading(t + 0.01 * bw_random_normal(&random),
                        "\"place\": \"%s\", \"panel\": \"%d\", \"upto\": %d", PLACES[1][side], p,
                        head);
            }
        }
    const struct thickness_output *out = close_readings();
    assert_int_equal(out->heads.n, 3);
    for (int head = 0; head < 3; head++) {
        struct bw_quantity q = ((const struct thickness_head *)out->heads.items + head)->removal;
        NEAR(q.v, takes[head] * MM, 3.5 * q.sd);
        assert_true(q.sd < 0.01 * MM);
    }
}

// --- adjusters, by a machine that is then adjusted -----------------------------------------------

// Thickness of a machine whose gap is `left` and `right` at its adjusters, 1500 mm apart.
static const struct thickness_output *measure(double left, double right, uint64_t seed) {
    uint64_t random = seed;
    open_readings(PANELS ", \"adjuster_span\": \"1500 mm\", \"thread\": \"2 mm\"");
    for (int p = 0; p < 4; p++)
        for (int row = 0; row < 3; row++)
            for (int side = 0; side < 3; side++) {
                double y = (side - 1) * 0.27;
                double t = (left + right) / 2 + (right - left) * y / 1.5;
                reading(t + 0.05 * p + 0.015 * bw_random_normal(&random),
                        "\"place\": \"%s\", \"panel\": \"%d\"", PLACES[row][side], p);
            }
    return close_readings();
}

static void following_the_advice_makes_the_machine_parallel(void **state) {
    (void)state;
    for (uint64_t seed = 1; seed <= 40; seed++) {
        double left = 18.0, right = 18.0 + (seed % 2 == 0 ? 0.3 : -0.25);
        const struct thickness_output *out = measure(left, right, seed);
        assert_int_equal(out->adjust.n, 2);
        const struct thickness_adjust *moves = out->adjust.items;
        assert_int_equal(moves[0].side, SIDE_RIGHT);
        NEAR(moves[0].turns.v, moves[0].closer.v / (2 * MM), 1e-12);
        // Either move alone, and half of each.
        double by = moves[0].closer.v / MM, sd = moves[0].closer.sd / MM;
        NEAR(right - by, left, 4 * sd);
        NEAR(left - moves[1].closer.v / MM, right, 4 * sd);
        const struct thickness_output *again = measure(left + by / 2, right - by / 2, seed + 1000);
        double both = hypot(again->slope.sd, out->slope.sd);
        assert_true(fabs(again->slope.v) < 4 * both);
        assert_true(fabs(again->slope.v) < 0.4 * fabs(out->slope.v));
    }
}

static void no_taper_no_advice(void **state) {
    (void)state;
    const struct thickness_output *out = measure(18, 18, 5);
    assert_int_equal(out->adjust.n, 0);
    assert_false(term(out, "taper")->shown);
}

// --- gauge, capability, readout, warming ---------------------------------------------------------

static void a_gauge_study_rides_on_the_readings(void **state) {
    (void)state;
    uint64_t random = 31;
    open_readings(PANELS ", \"target\": \"18 mm\", \"tolerance\": \"0.2 mm\"");
    for (int p = 0; p < 5; p++)
        for (int side = 0; side < 3; side++) {
            double t = 18 + 0.04 * bw_random_normal(&random);
            for (int person = 0; person < 2; person++)
                for (int k = 0; k < 3; k++)
                    reading(t + 0.03 * person + 0.01 * bw_random_normal(&random),
                            "\"place\": \"%s\", \"panel\": \"%d\", \"by\": \"%s\"", PLACES[1][side],
                            p, person == 0 ? "Ann" : "Bo");
        }
    const struct thickness_output *out = close_readings();
    NEAR(out->repeatability.v, 0.01 * MM, 0.003 * MM);
    NEAR(out->people.v, 0.03 / M_SQRT2 * MM, 0.008 * MM);
    NEAR(out->gauge_share.v, 6 * out->gauge_spread.v / (0.4 * MM), 1e-12);
    assert_true(bw_known(out->cp) && out->cp_low.v < out->cp.v && out->cp.v < out->cp_high.v);
}

static void readout_and_warming_are_told_apart(void **state) {
    (void)state;
    uint64_t random = 12;
    open_readings(PANELS);
    for (int p = 0; p < 12; p++) {
        double minutes = 3 + 5 * p;
        bool cloth = p % 2 == 1;
        for (int side = 0; side < 3; side++)
            reading(18.05 + (cloth ? 0.5 : 0) + 0.12 * exp(-minutes / 12) +
                        0.008 * bw_random_normal(&random),
                    "\"place\": \"%s\", \"panel\": \"%d\", \"readout\": \"18 mm\", "
                    "\"minutes\": \"%.0f min\", \"belt\": \"%s\"",
                    PLACES[1][side], p, minutes, cloth ? "P60 cloth" : "P180 paper");
    }
    const struct thickness_output *out = close_readings();
    assert_int_equal(out->readouts.n, 2);
    const struct thickness_readout *r = out->readouts.items;
    assert_string_equal(r[0].belt, "P180 paper");
    NEAR(r[0].off.v, 0.05 * MM, 4 * r[0].off.sd);
    NEAR(r[1].off.v, 0.55 * MM, 4 * r[1].off.sd);
    NEAR(out->drift.v, 0.12 * MM, 4 * out->drift.sd);
    assert_true(out->drift.sd < 0.03 * MM);
}

// --- settings ------------------------------------------------------------------------------------

static const struct thickness_output *ask(const char *json) {
    return must_ask(arena, &bw_study_thickness, json);
}

// 10 ms is 1 mm at 6 m/min.
static void shoes_part_delay_from_place(void **state) {
    (void)state;
    const struct thickness_output *out =
        ask("{\"timings\": [\"6 mm of lead at 6 m/min\", \"8 mm of lead at 12 m/min\", "
            "\"-3 mm of trail at 6 m/min\", \"-3 mm of trail at 12 m/min\"]}");
    assert_int_equal(out->shoes.n, 2);
    const struct thickness_shoe *shoes = out->shoes.items;
    NEAR(shoes[0].delay.v, 0.020, 1e-9);
    NEAR(shoes[0].place.v, 4 * MM, 1e-9);
    NEAR(shoes[1].delay.v, 0, 1e-9);
    NEAR(shoes[1].place.v, -3 * MM, 1e-9);
    NEAR(shoes[0].delay.sd, M_SQRT2 * 0.001 / 0.1, 1e-9);  // 1 mm by rule at each of two feeds
    out = ask("{\"timings\": [\"6 mm of lead at 6 m/min\", \"7 mm of lead at 6 m/min\"]}");
    assert_int_equal(out->shoes.n, 0);
    assert_int_equal(out->notes.n, 1);
    out = ask("{\"timings\": [\"10 mm ± 0.2 mm of lead at 6 m/min\", "
              "\"20 mm ± 0.2 mm of lead at 12 m/min\"]}");
    assert_string_equal(((const struct thickness_shoe *)out->shoes.items)->text,
                        "set down 100\u00a0ms earlier");
}

#define SLOW "\"4.2 4.1 4.3 4.2 4.1 s\""
#define FAST "\"3.6 3.7 3.6 3.5 3.6 s\""
static void strokes_follow_belt_or_machine(void **state) {
    (void)state;
    static const struct {
        const char *strokes, *says;
    } cases[] = {
        {"{\"left\": " SLOW ", \"right\": " SLOW "}", "equal"},
        {"{\"left\": " SLOW ", \"right\": " FAST "}", "once more with the belt turned"},
        {"{\"left\": " SLOW ", \"right\": " FAST "}, "
         "{\"left\": " FAST ", \"right\": " SLOW ", \"turned\": \"turned\"}",
         "change the belt"},
        {"{\"left\": " SLOW ", \"right\": " FAST "}, "
         "{\"left\": " SLOW ", \"right\": " FAST ", \"turned\": \"turned\"}",
         "stayed with the machine"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char json[600];
        (void)snprintf(json, sizeof json, "{\"strokes\": [%s]}", cases[i].strokes);
        const struct thickness_output *out = ask(json);
        if (strstr(out->tracking, cases[i].says) == NULL)
            fail_msg("case %zu: %s", i, out->tracking);
    }
}

// --- plan ----------------------------------------------------------------------------------------

static void the_plan_gives_what_it_promises(void **state) {
    (void)state;
    const struct thickness_output *out =
        ask("{" PANELS ", \"gauge\": \"0.05 mm\", \"accuracy\": \"0.02 mm\"}");
    assert_true(out->planned.v <= out->wanted.v);
    long panels = out->panels_to_measure;
    size_t places = out->places.n;
    assert_int_equal(places, out->columns * out->rows);
    uint64_t random = 77;
    double square = 0;
    enum { RUNS = 120 };
    for (int run = 0; run < RUNS; run++) {
        open_readings(PANELS);
        for (long p = 0; p < panels; p++)
            for (size_t k = 0; k < places; k++) {
                const struct thickness_place *at =
                    (const struct thickness_place *)out->places.items + k;
                reading(18 + 0.05 * bw_random_normal(&random),
                        "\"across\": \"%.3f mm\", \"along\": \"%.3f mm\", \"panel\": \"%ld\"",
                        at->across.v / MM, at->along.v / MM, p);
            }
        struct bw_arena *kept = arena;
        arena = bw_arena_new(0);
        const struct thickness_output *made = close_readings();
        double worst = 0;
        static const char *const IDS[] = {"taper", "crown", "lead", "trail"};
        for (int t = 0; t < 4; t++) worst = fmax(worst, term(made, IDS[t])->value.sd);
        square += worst * worst;
        bw_arena_free(arena);
        arena = kept;
    }
    NEAR(sqrt(square / RUNS), out->planned.v, 0.05 * out->planned.v);
}

static void more_accuracy_asks_for_more(void **state) {
    (void)state;
    const struct thickness_output *rough = ask("{\"accuracy\": \"0.05 mm\"}");
    const struct thickness_output *fine = ask("{\"accuracy\": \"0.005 mm\"}");
    assert_true(fine->panels_to_measure * fine->columns * fine->rows >
                rough->panels_to_measure * rough->columns * rough->rows);
    assert_int_equal(rough->places.n, 9);
    const struct thickness_place *first = rough->places.items;
    assert_string_equal(first->name, "LF");
    NEAR(first->across.v, 0.03, 1e-12);
}

// --- words and refusals --------------------------------------------------------------------------

static void places_are_read_however_written(void **state) {
    (void)state;
    struct place place;
    static const char *const SAME[] = {"RF", "rf", "right front", "Front right", "right-lead"};
    for (size_t i = 0; i < sizeof SAME / sizeof *SAME; i++) {
        assert_true(place_read(SAME[i], &place));
        assert_true(place.across == 1 && place.along == -1);
    }
    static const char *const BAD[] = {
        "",         "R", "FR", "LX", "left", "left left", "left right front", "left front back",
        "leftfront"};
    for (size_t i = 0; i < sizeof BAD / sizeof *BAD; i++) assert_false(place_read(BAD[i], &place));
}

static void times_are_read_strictly(void **state) {
    (void)state;
    struct times times;
    assert_true(times_read("4.2 4.1, 4.3 s", &times));
    assert_true(times.n == 3 && times.seconds[2] == 4.3);
    static const char *const BAD[] = {"",         "4.2 s",   "4.2 4.1",   "s",      "4.2 s 3",
                                      "4.2 -1 s", "4.2 0 s", "4.2 x 3 s", "4.2 mm", "4.2 3,1 mm"};
    for (size_t i = 0; i < sizeof BAD / sizeof *BAD; i++) assert_false(times_read(BAD[i], &times));
    char many[4 * (MOST_TIMES + 1) + 2];
    for (size_t i = 0; i + 2 < sizeof many; i++) many[i] = "4.2 "[i % 4];
    many[sizeof many - 2] = 's';
    many[sizeof many - 1] = '\0';
    assert_false(times_read(many, &times));
}

static void refusals_name_the_field(void **state) {
    (void)state;
    static const struct {
        const char *json, *field;
    } cases[] = {
        {"{\"readings\": [{\"value\": \"18 mm\", \"place\": \"XX\"}]}", "readings[0].place"},
        {"{\"readings\": [{\"value\": \"18 mm\", \"across\": \"3 mm\"}]}", "readings[0].place"},
        {"{\"readings\": [{\"value\": \"18 mm\", \"only\": 1, \"upto\": 2}]}", "readings[0].only"},
        {"{\"panel_width\": \"50 mm\"}", "inset"},
        {"{\"panel_length\": \"150 mm\"}", "snipe"},
        {"{\"strokes\": [{\"left\": \"4\", \"right\": \"3 4 s\"}]}", "strokes[0].left"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct bw_err err = {0};
        assert_null(ask_study(arena, &bw_study_thickness, cases[i].json, &err));
        assert_int_equal(err.code, BW_INPUT);
        assert_string_equal(err.field, cases[i].field);
    }
    open_readings(PANELS);
    for (int i = 0; i <= MOST_PANELS; i++) reading(18, "\"place\": \"CM\", \"panel\": \"%d\"", i);
    add("]}");
    struct bw_err err = {0};
    assert_null(ask_study(arena, &bw_study_thickness, document, &err));
    assert_int_equal(err.code, BW_LIMIT);
}

static bool ask_all(void *with) {
    (void)with;
    struct bw_arena *own = bw_arena_new(0);
    if (own == NULL) return false;
    struct bw_err err = {0};
    const void *out = ask_study(
        own, &bw_study_thickness,
        "{\"readings\": [\"18 mm at LF\", \"18.1 mm at CF\", \"18.2 mm at RF\", \"18 mm at LM\", "
        "\"18 mm at LM\", \"18.1 mm at CM when before\", {\"value\": \"18.2 mm\", \"place\": "
        "\"RM\", \"upto\": 1}], \"adjuster_span\": \"1 m\", \"timings\": "
        "[\"6 mm of lead at 6 m/min\", \"8 mm of lead at 12 m/min\"]}",
        &err);
    bw_arena_free(own);
    return out != NULL;
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    assert_in_range(torture(ask_all, NULL), 5, 2000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_known_shape_comes_out),
        cmocka_unit_test(what_cannot_be_told_is_not),
        cmocka_unit_test(a_worn_lane_is_found_where_it_is),
        cmocka_unit_test(two_strips_swapped_tell_machine_from_strip),
        cmocka_unit_test(strips_head_by_head_name_the_head),
        cmocka_unit_test(a_twin_turned_shows_what_came_with_the_panel),
        cmocka_unit_test(removal_is_head_by_head),
        cmocka_unit_test(following_the_advice_makes_the_machine_parallel),
        cmocka_unit_test(no_taper_no_advice),
        cmocka_unit_test(a_gauge_study_rides_on_the_readings),
        cmocka_unit_test(readout_and_warming_are_told_apart),
        cmocka_unit_test(shoes_part_delay_from_place),
        cmocka_unit_test(strokes_follow_belt_or_machine),
        cmocka_unit_test(the_plan_gives_what_it_promises),
        cmocka_unit_test(more_accuracy_asks_for_more),
        cmocka_unit_test(places_are_read_however_written),
        cmocka_unit_test(times_are_read_strictly),
        cmocka_unit_test(refusals_name_the_field),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests_name("thickness", tests, set_up, tear_down);
}
