// test_reason_case.c - findings, learned counts, the interview's order, undo, and the verdict.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/alloc.h"
#include "reason/call.h"
#include "reason/verdict.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static struct bw_arena *arena;
static struct bw_knowledge knowledge;
static struct bw_features none;
static struct bw_network network;

static void must(bool done, const struct bw_err *err) {
    if (!done) fail_msg("%s: %s (%s)", err->field, err->what, err->value);
}

static int setup(void **unused) {
    struct bw_err err = {0};
    (void)unused;
    none = bw_features_none();
    const struct bw_network_from from = {&knowledge, &none, NULL};
    arena = bw_arena_new(0);
    return arena == NULL || !bw_knowledge_load(arena, NULL, 0, NULL, &knowledge, &err) ||
           !bw_network_make(&from, arena, &network, &err);
}
static int teardown(void **unused) {
    (void)unused;
    bw_arena_free(arena);
    return 0;
}

static double belief_in(const struct bw_case *c, const char *cause) {
    struct bw_arena *work = bw_arena_new(0);
    struct bw_thought thought;
    struct bw_err err = {0};
    must(bw_case_think(c, BW_NO_INDEX, 0, work, &thought, &err), &err);
    double p = thought.belief.cause[c->network->index[bw_cause_find(&knowledge, cause)]];
    bw_arena_free(work);
    return p;
}

static struct bw_case said(const struct bw_network *of, const char *symptom) {
    struct bw_case c;
    struct bw_err err = {0};
    must(bw_case_begin(of, arena, &c, &err), &err);
    must(bw_case_reply(&c, bw_reply_graded(bw_check_find(&knowledge, symptom), 1), &err), &err);
    return c;
}

// ---- findings ----

static struct bw_found_list read(const char *json) {
    struct bw_found_list found;
    struct bw_err err = {0};
    const struct bw_document document = {"f.json", json, strlen(json)};
    must(bw_findings_read(arena, &document, &found, &err), &err);
    return found;
}

static void a_source_of_a_mark_is_evidence(void **unused) {
    (void)unused;
    struct bw_err err = {0};
    struct bw_case c = said(&network, "chatter");
    double splice = belief_in(&c, "splice_high"), drum = belief_in(&c, "drum_eccentric");
    struct bw_found_list found =
        read("{\"shape\": \"findings/1\", \"study\": \"source\", \"findings\": ["
             "{\"kind\": \"mark-pitch\", \"about\": \"mark 1\", \"value\": 17.9, \"unit\": \"mm\"},"
             "{\"kind\": \"mark-source\", \"about\": \"head2.splice\", \"value\": 0.52},"
             "{\"kind\": \"mark-source\", \"about\": \"head3.splice\", \"value\": 0.44},"
             "{\"kind\": \"mark-source\", \"about\": \"head1.drum\", \"value\": 0.02},"
             "{\"kind\": \"belt-life\", \"about\": \"P120\", \"value\": 4}]}");
    bool used[5];
    must(bw_case_find(&c, &found, used, &err), &err);
    assert_true(used[0] && used[1] && used[2] && used[3] && !used[4]);
    assert_true(belief_in(&c, "splice_high") > 2 * splice);
    assert_true(belief_in(&c, "drum_eccentric") < drum / 2);
    // 0.96 against a share of 0.35: 24 / (0.35 / 0.65) = 44.6, held at 30; and it is not asked.
    const struct bw_reply *reply = bw_case_reply_to(&c, bw_check_find(&knowledge, "pitch_splice"));
    assert_true(reply != NULL && reply->kind == BW_REPLY_RATIO && reply->ratio == 30);
    assert_false(bw_case_open(&c, bw_check_find(&knowledge, "pitch_splice")));
    assert_false(c.stand.on_site);
}

static void the_worst_ground_path_counts(void **unused) {
    (void)unused;
    struct bw_err err = {0};
    for (int turn = 0; turn < 2; turn++) {
        struct bw_case c = said(&network, "dust_cling");
        struct bw_found_list found = read(
            turn == 0 ? "{\"findings\": ["
                        "{\"kind\": \"open-ground-path\", \"value\": 40, \"unit\": \"Mohm\"},"
                        "{\"kind\": \"ground-path\", \"value\": 0.1, \"unit\": \"Mohm\"}]}"
                      : "{\"findings\": ["
                        "{\"kind\": \"ground-path\", \"value\": 0.1, \"unit\": \"Mohm\"},"
                        "{\"kind\": \"open-ground-path\", \"value\": 40, \"unit\": \"Mohm\"}]}");
        bool used[2];
        must(bw_case_find(&c, &found, used, &err), &err);
        const struct bw_reply *reply =
            bw_case_reply_to(&c, bw_check_find(&knowledge, "static_path"));
        assert_true(reply != NULL && reply->yes > 0.99);
    }
}

// Each kind on its own: the check it speaks of, and which way. Written from docs/knowledge.md.
static void findings_speak_of_their_checks(void **unused) {
    (void)unused;
    static const struct {
        const char *finding, *check;
        bool yes;
    } ROWS[] = {
        {"\"kind\": \"panel-shape\", \"about\": \"taper\", \"value\": -0.3, \"unit\": \"mm\"",
         "sides_differ", true},
        {"\"kind\": \"panel-shape\", \"about\": \"crown\", \"value\": 0.01, \"unit\": \"mm\"",
         "middle_sides", false},
        {"\"kind\": \"panel-shape\", \"about\": \"trail\", \"value\": -0.2, \"unit\": \"mm\"",
         "ends_middle", true},
        {"\"kind\": \"warming-drift\", \"value\": 0.1, \"unit\": \"mm\"", "first_tenth", true},
        {"\"kind\": \"skipped-grit\", \"value\": 2", "grit_gap", true},
        {"\"kind\": \"skipped-grit\", \"value\": 0", "grit_order", true},
        {"\"kind\": \"platen-delay\", \"value\": 0.02, \"unit\": \"s\"", "ends_grow_feed", true},
        {"\"kind\": \"platen-sensor\", \"value\": 4, \"unit\": \"mm\"", "ends_grow_feed", false},
        {"\"kind\": \"bearing-sound\", \"value\": 0.1", "sound_bearing", true},
        {"\"kind\": \"bearing-sound\", \"value\": 0.99", "sound_bearing", false},
        {"\"kind\": \"port-enough\", \"value\": 900, \"unit\": \"m³/h\"", "port_air", false},
        {"\"kind\": \"humidity\", \"value\": 0.2", "rh_low", true},
    };
    for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
        struct bw_err err = {0};
        struct bw_case c = said(&network, "burn");
        struct bw_found_list found =
            read(bw_arena_format(arena, "{\"findings\": [{%s}]}", ROWS[i].finding));
        bool used[1];
        must(bw_case_find(&c, &found, used, &err), &err);
        const struct bw_reply *reply =
            bw_case_reply_to(&c, bw_check_find(&knowledge, ROWS[i].check));
        if (!used[0] || reply == NULL) fail_msg("%s says nothing", ROWS[i].finding);
        bool yes = reply->kind == BW_REPLY_RATIO ? reply->ratio > 1 : reply->yes > 0.5;
        if (yes != ROWS[i].yes) fail_msg("%s", ROWS[i].finding);
    }
}

static void a_broken_findings_file_is_named(void **unused) {
    (void)unused;
    static const char *const BAD[] = {
        "{\"findings\": [{\"value\": 1}]}",
        "{\"findings\": [{\"kind\": \"humidity\", \"value\": 0.2, \"unit\": \"furlong\"}]}",
        "{\"shape\": \"rates/1\"}", "not json: ["};
    for (size_t i = 0; i < sizeof BAD / sizeof *BAD; i++) {
        struct bw_found_list found;
        struct bw_err err = {0};
        const struct bw_document document = {"f.json", BAD[i], strlen(BAD[i])};
        assert_false(bw_findings_read(arena, &document, &found, &err));
        assert_true(err.code == BW_INPUT || err.code == BW_SYNTAX);
        assert_string_equal(err.file, "f.json");
    }
}

// ---- learned counts ----

static struct bw_network learned(const struct bw_learned *counts) {
    struct bw_network out;
    struct bw_err err = {0};
    const struct bw_network_from from = {&knowledge, &none, counts};
    must(bw_network_make(&from, arena, &out, &err), &err);
    return out;
}

static void no_counts_change_nothing(void **unused) {
    (void)unused;
    double *zero = bw_arena_array(arena, knowledge.checks * knowledge.causes, sizeof *zero);
    const struct bw_learned counts = {.cause = zero, .yes = zero, .no = zero};
    struct bw_network same = learned(&counts);
    for (size_t i = 0; i < same.net.causes; i++)
        assert_true(fabs(same.net.odds[i] - network.net.odds[i]) < 1e-15);
    for (size_t i = 0; i < same.net.causes * same.net.checks; i++)
        assert_true(fabs(same.net.miss[i] - network.net.miss[i]) < 1e-15);
}

// By hand: 40 pseudo-cases at 31 of the sum of weights, 10 cases more, all of it splices.
static void proven_cases_raise_a_weight(void **unused) {
    (void)unused;
    size_t cause = bw_cause_find(&knowledge, "splice_high");
    double *cases = bw_arena_array(arena, knowledge.causes, sizeof *cases), sum = 0;
    cases[cause] = 10;
    const struct bw_learned counts = {.cause = cases};
    struct bw_network more = learned(&counts);
    for (size_t c = 0; c < knowledge.causes; c++) sum += knowledge.cause[c].weight.v;
    double share = 0.97 * knowledge.cause[cause].weight.v / sum;
    double want = 2 * knowledge.assume.together.v * (40 * share + 10) / 50;
    assert_true(fabs(more.net.odds[more.index[cause]] - want) < 1e-12);
}

// With thousands of answers the link becomes what was heard, wrong answers taken out of it.
static void many_answers_overrule_a_link(void **unused) {
    (void)unused;
    size_t check = bw_check_find(&knowledge, "line_snakes");
    size_t cause = bw_cause_find(&knowledge, "bald_lane"), at = check * knowledge.causes + cause;
    double *yes = bw_arena_array(arena, knowledge.checks * knowledge.causes, sizeof *yes);
    double *no = bw_arena_array(arena, knowledge.checks * knowledge.causes, sizeof *no);
    double leak = knowledge.check[check].leak.v, wrong = network.wrong[check], link = 0.3;
    double heard = wrong + (1 - 2 * wrong) * (1 - (1 - leak) * (1 - link));
    yes[at] = 1e6 * heard;
    no[at] = 1e6 * (1 - heard);
    const struct bw_learned counts = {.yes = yes, .no = no};
    struct bw_network more = learned(&counts);
    size_t i = more.index[cause];
    assert_true(fabs(1 - more.net.miss[check * more.net.causes + i] - link) < 1e-3);
    assert_true(fabs(1 - network.net.miss[check * network.net.causes + i] - link) > 0.3);
}

static void cures_learn_too(void **unused) {
    (void)unused;
    size_t remedy = bw_remedy_find(&knowledge, "change_belt");
    size_t cause = bw_cause_find(&knowledge, "splice_high"), at = remedy * knowledge.causes + cause;
    double *failed = bw_arena_array(arena, knowledge.remedies * knowledge.causes, sizeof *failed);
    failed[at] = 8;
    const struct bw_learned counts = {.uncured = failed};
    struct bw_network more = learned(&counts);
    assert_true(fabs(more.cures[at] - knowledge.cure[at] / 2) <
                1e-12);  // 8 pseudo-cases, 8 against
}

// ---- the interview ----

static struct bw_interview begin(const char *sentence) {
    struct bw_interview i;
    struct bw_err err = {0};
    must(bw_interview_begin(&network, arena, &i, &err), &err);
    must(bw_interview_say(&i, sentence, &err), &err);
    return i;
}

static void undo_leads_back_step_by_step(void **unused) {
    (void)unused;
    struct bw_err err = {0};
    struct bw_interview i = begin("chatter");
    assert_int_equal(i.stage, BW_STAGE_MORE);
    must(bw_interview_enough(&i, &err), &err);
    size_t first = bw_interview_next(&i)->which, replies = i.c.n;
    must(bw_interview_answer(&i, (struct bw_said){.word = BW_SAID_YES}, &err), &err);
    assert_true(bw_interview_undo(&i, &err));
    assert_int_equal(bw_interview_next(&i)->which, first);
    assert_int_equal(i.c.n, replies);
    assert_true(bw_interview_undo(&i, &err));
    assert_int_equal(i.stage, BW_STAGE_MORE);
    assert_true(bw_interview_undo(&i, &err));
    assert_int_equal(i.stage, BW_STAGE_COMPLAINT);
    assert_int_equal(i.c.n, 0);
    assert_false(bw_interview_undo(&i, &err));
    bw_interview_end(&i);
}

static void unclear_words_are_asked_about(void **unused) {
    (void)unused;
    struct bw_err err = {0};
    struct bw_interview i = begin("scratches");
    assert_int_equal(i.stage, BW_STAGE_WHICH);
    assert_true(i.n_symptoms == 2);
    const size_t second = 1;
    size_t chosen = i.symptoms[1];
    must(bw_interview_choose(&i, &second, 1, &err), &err);
    assert_true(bw_case_has(&i.c, chosen));
    assert_int_equal(i.stage, BW_STAGE_MORE);
    bw_interview_end(&i);
    i = begin("nothing anybody knows");
    assert_int_equal(i.stage, BW_STAGE_WHICH);
    assert_true(i.n_symptoms > 20);
    bw_interview_end(&i);
}

static void a_bad_answer_leaves_the_step(void **unused) {
    (void)unused;
    struct bw_err err = {0};
    struct bw_interview i = begin("chatter");
    must(bw_interview_enough(&i, &err), &err);
    size_t n = i.c.n, steps = i.steps;
    assert_false(bw_interview_answer(&i, (struct bw_said){.word = BW_SAID_YES, .head = 3}, &err));
    assert_int_equal(err.code, BW_INPUT);
    assert_true(i.c.n == n && i.steps == steps && i.stage == BW_STAGE_STEP);
    bw_interview_end(&i);
}

static void answers_are_read_as_typed(void **unused) {
    (void)unused;
    size_t size = bw_check_find(&knowledge, "sides_differ"),
           rh = bw_check_find(&knowledge, "rh_low");
    static const struct {
        const char *text;
        enum bw_answer_word word;
        size_t head;
    } ROWS[] = {{"y", BW_SAID_YES, 0},
                {"Yes, head 2", BW_SAID_YES, 2},
                {"y2", BW_SAID_UNKNOWN, 99},
                {"n", BW_SAID_NO, 0},
                {"No, never", BW_SAID_NO, 0},
                {"?", BW_SAID_UNKNOWN, 0},
                {"don't know", BW_SAID_UNKNOWN, 0},
                {"less", BW_SAID_PARTLY, 0},
                {"0.3 mm", BW_SAID_READING, 0},
                {"12 thou", BW_SAID_READING, 0},
                {"perhaps", BW_SAID_UNKNOWN, 99}};
    for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
        struct bw_said out;
        struct bw_err err = {0};
        bool good = bw_said_read(&knowledge, size, ROWS[i].text, &out, &err);
        if (good != (ROWS[i].head != 99)) fail_msg("%s: %s", ROWS[i].text, err.what);
        if (!good) continue;
        assert_int_equal(out.word, ROWS[i].word);
        assert_int_equal(out.head, ROWS[i].head);
    }
    struct bw_said out;
    struct bw_err err = {0};
    must(bw_said_read(&knowledge, rh, "30", &out, &err), &err);  // a humidity of 30 is 30 %
    assert_true(fabs(out.reading.v - 0.3) < 1e-12);
}

// ---- the verdict ----

static void what_speaks_for_it_is_named(void **unused) {
    (void)unused;
    struct bw_err err = {0};
    struct bw_verdict v;
    struct bw_case c = said(&network, "chatter");
    size_t pitch = bw_check_find(&knowledge, "pitch_splice");
    must(bw_case_reply(&c, bw_reply_graded(pitch, 1), &err), &err);
    must(bw_verdict_find(&c, NULL, arena, &v, &err), &err);
    assert_string_equal(knowledge.cause[v.causes[0].cause].id, "splice_high");
    assert_int_equal(v.speaks_for[0].row, pitch);
    assert_true(v.n_turns > 0 && v.turns[0].answered);
    for (size_t i = 1; i < v.n_causes; i++)
        assert_true(v.causes[i].probability <= v.causes[i - 1].probability);
    // Turning answers round is undone again.
    assert_true(c.replies[1].yes == 1);
}

// Three signs of a taper and a caliper that shows none; three signs of the joint, and a mark that
// stays with a good belt on. Signs that agree are no clash.
static void answers_that_clash_are_said_to(void **unused) {
    (void)unused;
    static const struct {
        const char *symptom, *answers[4];
        bool yes[4];
        const char *odd;
    } ROWS[] = {{"taper",
                 {"two_strips", "bed_parallel", "one_panel_side", "sides_differ"},
                 {true, true, true, false},
                 "sides_differ"},
                {"chatter",
                 {"pitch_splice", "chalked_splice", "splice_step", "known_good_belt"},
                 {true, true, true, true},
                 "known_good_belt"},
                {"chatter",
                 {"pitch_splice", "chalked_splice", "splice_step", "known_good_belt"},
                 {true, true, true, false},
                 NULL}};
    for (size_t r = 0; r < sizeof ROWS / sizeof *ROWS; r++) {
        struct bw_err err = {0};
        struct bw_verdict v;
        struct bw_case c = said(&network, ROWS[r].symptom);
        for (size_t i = 0; i < 4; i++) {
            size_t check = bw_check_find(&knowledge, ROWS[r].answers[i]);
            must(bw_case_reply(&c, bw_reply_graded(check, ROWS[r].yes[i]), &err), &err);
        }
        must(bw_verdict_find(&c, NULL, arena, &v, &err), &err);
        if (ROWS[r].odd == NULL)
            assert_true(v.odd == BW_NO_INDEX);
        else
            assert_string_equal(knowledge.check[v.odd].id, ROWS[r].odd);
    }
}

static void without_memory_it_says_so(void **unused) {
    (void)unused;
    struct bw_case c = said(&network, "chatter");
    bool done = false;
    for (unsigned long n = 1; !done; n++) {
        struct bw_arena *own = bw_arena_new(0);
        struct bw_verdict v = {.n_causes = 77};
        struct bw_err err = {0};
        bw_alloc_fail_at(n);
        done = own != NULL && bw_verdict_find(&c, NULL, own, &v, &err);
        bw_alloc_fail_at(0);
        if (!done) assert_true(err.code == BW_MEMORY && v.n_causes == 77);
        bw_arena_free(own);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_source_of_a_mark_is_evidence),
        cmocka_unit_test(the_worst_ground_path_counts),
        cmocka_unit_test(findings_speak_of_their_checks),
        cmocka_unit_test(a_broken_findings_file_is_named),
        cmocka_unit_test(no_counts_change_nothing),
        cmocka_unit_test(proven_cases_raise_a_weight),
        cmocka_unit_test(many_answers_overrule_a_link),
        cmocka_unit_test(cures_learn_too),
        cmocka_unit_test(undo_leads_back_step_by_step),
        cmocka_unit_test(unclear_words_are_asked_about),
        cmocka_unit_test(a_bad_answer_leaves_the_step),
        cmocka_unit_test(answers_are_read_as_typed),
        cmocka_unit_test(what_speaks_for_it_is_named),
        cmocka_unit_test(answers_that_clash_are_said_to),
        cmocka_unit_test(without_memory_it_says_so),
    };
    return cmocka_run_group_tests_name("reason case", tests, setup, teardown);
}
