// record.c - the fields of the study `source`, each defined here and nowhere else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/source/record.h"

#include "machine/machine.h"

static const struct bw_choice LOOKS[] = {
    {"smooth", "waves that swell and fade"},
    {"narrow", "narrow lines with plain surface between"},
    {NULL, NULL},
};
static const struct bw_choice RESULTS[] = {
    {"gone", "the mark was no longer there"},
    {"stays", "the mark was still there"},
    {NULL, NULL},
};
static const struct bw_choice YES_NO[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};
static const struct bw_choice KINDS[] = {
    {"timed", "its pitch grows with the feed"},
    {"paced", "its pitch stays"},
    {NULL, NULL},
};

static const struct bw_field MARK_FIELDS[] = {
    {BW_AT(struct source_mark, pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .of = bw_pitch_ways, .min = 0.0001, .max = 30, .required = true, .lead = "",
     .help = "from mark to mark along the feed: count ten or more, divide by the gaps"},
    {BW_AT(struct source_mark, feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .of = bw_feed_ways,
     .min = 0.001, .max = 5, .lead = "at", .help = "feed the panel was sanded at, and how known"},
    {BW_AT(struct source_mark, is), .kind = BW_TEXT, .lead = "is",
     .help = "what the mark is known to be, such as splice of head 2, from a chalked joint"},
    {BW_AT(struct source_mark, look), .kind = BW_CHOICE, .of = LOOKS, .lead = "look",
     .help = "how the marks look in raking light"},
    {BW_AT(struct source_mark, depth), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH, .min = 1e-8,
     .max = 0.005, .lead = "depth", .help = "height from valley to ridge, if a trace tells"},
    {BW_AT(struct source_mark, lag), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0, .max = 1,
     .lead = "lag", .help = "how far the mark runs ahead or behind from one side to the other"},
    {BW_AT(struct source_mark, over), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH, .min = 0.05,
     .max = 4, .lead = "over", .help = "the width across over which that was measured"},
    {BW_AT(struct source_mark, only), .kind = BW_COUNT, .min = 1, .max = BW_MAX_HEADS,
     .lead = "only head", .help = "the one head in cut when the mark was made"},
    {BW_AT(struct source_mark, same_as), .kind = BW_COUNT, .min = 1, .max = SOURCE_MAX_MARKS,
     .lead = "same as mark", .help = "number of an earlier mark that this one is known to follow"},
    BW_END_FIELDS,
};
static const char *mark_rule(const void *record, const char **field) {
    const struct source_mark *mark = record;
    if (bw_known(mark->lag) != bw_known(mark->over)) {
        *field = bw_known(mark->lag) ? "lag" : "over";
        return "a lag needs the width it was measured over: lag 3.4 mm over 1.2 m";
    }
    return NULL;
}
static const struct bw_record MARK = {.name = "mark",
                                      .fields = MARK_FIELDS,
                                      .size = sizeof(struct source_mark),
                                      .check = mark_rule,
                                      .help = "one set of equally spaced marks"};

static const struct bw_field RATE_FIELDS[] = {
    {BW_AT(struct source_rate, rate), .kind = BW_QUANTITY, .dim = BW_DIM_RATE, .of = bw_rate_ways,
     .min = 0.01, .max = 20000, .required = true, .lead = "", .help = "a rate that was measured"},
    {BW_AT(struct source_rate, is), .kind = BW_TEXT, .required = true, .lead = "is",
     .help = "of what, such as splice of head 2"},
    BW_END_FIELDS,
};
static const struct bw_record RATE = {.name = "rate",
                                      .fields = RATE_FIELDS,
                                      .size = sizeof(struct source_rate),
                                      .help = "a rate heard or read at the machine"};

static const struct bw_field TRIAL_FIELDS[] = {
    {BW_AT(struct source_trial, only), .kind = BW_COUNT, .min = 1, .max = BW_MAX_HEADS,
     .lead = "only head", .help = "the one head left in cut"},
    {BW_AT(struct source_trial, belt), .kind = BW_COUNT, .min = 1, .max = BW_MAX_HEADS,
     .lead = "new belt on head", .help = "the head whose belt was changed"},
    {BW_AT(struct source_trial, result), .kind = BW_CHOICE, .of = RESULTS, .required = true,
     .lead = "mark", .help = "what became of mark 1"},
    BW_END_FIELDS,
};
static const char *trial_rule(const void *record, const char **field) {
    const struct source_trial *trial = record;
    if ((trial->only == BW_NO_COUNT) != (trial->belt == BW_NO_COUNT)) return NULL;
    *field = "only";
    return "a trial changes one thing: only head N, or new belt on head N";
}
static const struct bw_record TRIAL = {.name = "trial",
                                       .fields = TRIAL_FIELDS,
                                       .size = sizeof(struct source_trial),
                                       .check = trial_rule,
                                       .help = "one thing changed, and what became of the mark"};

static const struct bw_field INPUT_FIELDS[] = {
    {BW_AT(struct source_input, machine), .kind = BW_FILE, .of = &bw_machine_file, .required = true,
     .positional = true, .help = "the machine file"},
    {BW_AT(struct source_input, marks), .kind = BW_LIST, .of = &MARK, .required = true,
     .count_max = SOURCE_MAX_MARKS,
     .help = "a set of marks, such as \"14.6 mm ± 0.2 at 24 ft/min by watch\""},
    {BW_AT(struct source_input, feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .of = bw_feed_ways,
     .min = 0.001, .max = 5, .help = "feed of the marks that do not name their own"},
    {BW_AT(struct source_input, depth), .kind = BW_QUANTITY, .dim = BW_DIM_DEPTH, .min = 1e-8,
     .max = 0.005, .help = "height of the first mark, if it does not name its own"},
    {BW_AT(struct source_input, rates), .kind = BW_LIST, .of = &RATE, .count_max = SOURCE_MAX_RATES,
     .help = "a measured rate, such as \"9.42 Hz by recording is splice of head 2\""},
    {BW_AT(struct source_input, trials), .kind = BW_LIST, .of = &TRIAL,
     .count_max = SOURCE_MAX_TRIALS,
     .help = "an experiment done, such as \"only head 2 mark stays\""},
    BW_END_FIELDS,
};
static const char *input_rule(const void *record, const char **field) {
    const struct source_input *input = record;
    *field = "marks";
    if (input->marks.n == 0) return "needs at least one mark";
    const struct source_mark *marks = input->marks.items;
    for (size_t i = 0; i < input->marks.n; i++)
        if (marks[i].same_as != BW_NO_COUNT && (size_t)marks[i].same_as > i)
            return "\"same as mark\" must name an earlier mark";
    return NULL;
}
const struct bw_record source_input_record = {
    .name = "source input",
    .fields = INPUT_FIELDS,
    .size = sizeof(struct source_input),
    .check = input_rule,
    .help = "marks found on panels, and what is known about the machine"};

// --- answers ---------------------------------------------------------------------------------

static const struct bw_field CANDIDATE_FIELDS[] = {
    {BW_AT(struct source_candidate, id), .kind = BW_TEXT, .help = "stable name"},
    {BW_AT(struct source_candidate, name), .kind = BW_TEXT, .help = "the part"},
    {BW_AT(struct source_candidate, order), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "marks per event of the source"},
    {BW_AT(struct source_candidate, fault), .kind = BW_TEXT, .help = "what would be wrong with it"},
    {BW_AT(struct source_candidate, probability), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "how likely"},
    {BW_AT(struct source_candidate, pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .help = "the pitch it should show here by the file and the other readings"},
    BW_END_FIELDS,
};
static const struct bw_record CANDIDATE = {.name = "candidate",
                                           .fields = CANDIDATE_FIELDS,
                                           .size = sizeof(struct source_candidate),
                                           .help = "a source that may have left the mark"};
static const struct bw_field ANSWER_FIELDS[] = {
    {BW_AT(struct source_answer, mark), .kind = BW_COUNT, .help = "number of the mark"},
    {BW_AT(struct source_answer, pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .of = bw_pitch_ways, .help = "as measured"},
    {BW_AT(struct source_answer, feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED, .of = bw_feed_ways,
     .help = "as stated"},
    {BW_AT(struct source_answer, verdict), .kind = BW_TEXT, .help = "in words"},
    {BW_AT(struct source_answer, decided), .kind = BW_CHOICE, .of = YES_NO,
     .help = "yes where one source has 0.9 or more"},
    {BW_AT(struct source_answer, candidates), .kind = BW_LIST, .of = &CANDIDATE,
     .help = "most likely first"},
    {BW_AT(struct source_answer, unlisted), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "chance that it is something not in the machine file"},
    {BW_AT(struct source_answer, timed), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "chance that its pitch follows the feed"},
    BW_END_FIELDS,
};
static const struct bw_record ANSWER = {.name = "answer",
                                        .fields = ANSWER_FIELDS,
                                        .size = sizeof(struct source_answer),
                                        .help = "what left one mark set"};
static const struct bw_field SHARE_FIELDS[] = {
    {BW_AT(struct source_head_share, name), .kind = BW_TEXT, .help = "what"},
    {BW_AT(struct source_head_share, probability), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "how likely"},
    BW_END_FIELDS,
};
static const struct bw_record SHARE = {.name = "share",
                                       .fields = SHARE_FIELDS,
                                       .size = sizeof(struct source_head_share),
                                       .help = "a possibility and its probability"};
static const struct bw_field PART_FIELDS[] = {
    {BW_AT(struct source_part, name), .kind = BW_TEXT, .help = "kind of part"},
    {BW_AT(struct source_part, probability), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "how likely, all heads together"},
    {BW_AT(struct source_part, head_decided), .kind = BW_CHOICE, .of = YES_NO,
     .help = "whether something tells which head"},
    {BW_AT(struct source_part, heads), .kind = BW_LIST, .of = &SHARE, .help = "by head"},
    BW_END_FIELDS,
};
static const struct bw_record PART = {.name = "part",
                                      .fields = PART_FIELDS,
                                      .size = sizeof(struct source_part),
                                      .help = "a kind of part, whichever head"};
static const struct bw_field SPEED_FIELDS[] = {
    {BW_AT(struct source_speed, name), .kind = BW_TEXT, .help = "which speed"},
    {BW_AT(struct source_speed, stated), .kind = BW_QUANTITY, .dim = BW_DIM_SPEED,
     .help = "as stated"},
    {BW_AT(struct source_speed, found), .kind = BW_QUANTITY, .dim = BW_DIM_SPEED,
     .help = "as the readings together say"},
    BW_END_FIELDS,
};
static const struct bw_record SPEED = {.name = "speed",
                                       .fields = SPEED_FIELDS,
                                       .size = sizeof(struct source_speed),
                                       .help = "a speed as stated and as found"};
static const struct bw_field PREDICTION_FIELDS[] = {
    {BW_AT(struct source_prediction, name), .kind = BW_TEXT, .help = "if it is this source"},
    {BW_AT(struct source_prediction, pitch), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .help = "pitch then to be found"},
    {BW_AT(struct source_prediction, rate), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "rate then to be found"},
    {BW_AT(struct source_prediction, length), .kind = BW_QUANTITY, .dim = BW_DIM_LENGTH,
     .help = "length then to be found"},
    {BW_AT(struct source_prediction, speed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED,
     .help = "feed then to be found"},
    {BW_AT(struct source_prediction, outcome), .kind = BW_TEXT, .help = "what then becomes of it"},
    BW_END_FIELDS,
};
static const struct bw_record PREDICTION = {.name = "prediction",
                                            .fields = PREDICTION_FIELDS,
                                            .size = sizeof(struct source_prediction),
                                            .help = "what a source would show"};
static const struct bw_field EXPERIMENT_FIELDS[] = {
    {BW_AT(struct source_experiment, id), .kind = BW_TEXT, .help = "stable name"},
    {BW_AT(struct source_experiment, title), .kind = BW_TEXT, .help = "what to do"},
    {BW_AT(struct source_experiment, how), .kind = BW_TEXT, .help = "how to do it"},
    {BW_AT(struct source_experiment, caution), .kind = BW_TEXT, .help = "what can hurt"},
    {BW_AT(struct source_experiment, head), .kind = BW_COUNT, .help = "head it is done on"},
    {BW_AT(struct source_experiment, part), .kind = BW_TEXT, .help = "part it is done on"},
    {BW_AT(struct source_experiment, feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED,
     .help = "feed to set"},
    {BW_AT(struct source_experiment, minutes), .kind = BW_QUANTITY, .dim = BW_DIM_MINUTES,
     .help = "time it takes (estimate)"},
    {BW_AT(struct source_experiment, settles), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "chance that one source then has 0.9 or more"},
    {BW_AT(struct source_experiment, right), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "chance that the best guess is then right"},
    {BW_AT(struct source_experiment, predictions), .kind = BW_LIST, .of = &PREDICTION,
     .help = "what each remaining source would show"},
    BW_END_FIELDS,
};
static const struct bw_record EXPERIMENT = {.name = "experiment",
                                            .fields = EXPERIMENT_FIELDS,
                                            .size = sizeof(struct source_experiment),
                                            .help = "a check that separates what is left"};
static const struct bw_field STOP_GAP_FIELDS[] = {
    {BW_AT(struct source_stop_gap, title), .kind = BW_TEXT, .help = "what to do tonight"},
    {BW_AT(struct source_stop_gap, feed), .kind = BW_QUANTITY, .dim = BW_DIM_FEED,
     .help = "feed to set"},
    {BW_AT(struct source_stop_gap, left), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "share of the mark's height that is left, at best"},
    {BW_AT(struct source_stop_gap, costs), .kind = BW_TEXT, .help = "what it costs"},
    {BW_AT(struct source_stop_gap, stands), .kind = BW_TEXT, .help = "how long it may stand"},
    BW_END_FIELDS,
};
static const struct bw_record STOP_GAP = {.name = "stop-gap",
                                          .fields = STOP_GAP_FIELDS,
                                          .size = sizeof(struct source_stop_gap),
                                          .help = "a way to get through the night; no cure"};
static const struct bw_field LINE_FIELDS[] = {
    {BW_AT(struct source_line, text), .kind = BW_TEXT, .help = "a sentence"}, BW_END_FIELDS};
static const struct bw_record LINE = {.name = "line",
                                      .fields = LINE_FIELDS,
                                      .size = sizeof(struct source_line),
                                      .help = "one assumption"};
static const struct bw_field CHART_FIELDS[] = {
    {BW_AT(struct source_chart, name), .kind = BW_TEXT, .help = "the source"},
    {BW_AT(struct source_chart, kind), .kind = BW_CHOICE, .of = KINDS, .help = "timed or paced"},
    {BW_AT(struct source_chart, slope), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "pitch in m: times the feed in m/s if timed, itself if paced"},
    {BW_AT(struct source_chart, probability), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "how likely"},
    BW_END_FIELDS,
};
static const struct bw_record CHART = {.name = "chart line",
                                       .fields = CHART_FIELDS,
                                       .size = sizeof(struct source_chart),
                                       .help = "a line of the chart of pitch against feed"};
static const struct bw_field OUTPUT_FIELDS[] = {
    {BW_AT(struct source_output, machine), .kind = BW_TEXT, .help = "the machine's name"},
    {BW_AT(struct source_output, answer), .kind = BW_TEXT, .help = "the answer in one sentence"},
    {BW_AT(struct source_output, decided), .kind = BW_CHOICE, .of = YES_NO,
     .help = "yes where one source has 0.9 or more for every mark asked about"},
    {BW_AT(struct source_output, marks), .kind = BW_LIST, .of = &ANSWER, .help = "mark by mark"},
    {BW_AT(struct source_output, parts), .kind = BW_LIST, .of = &PART,
     .help = "kinds of part for the first open mark"},
    {BW_AT(struct source_output, speeds), .kind = BW_LIST, .of = &SPEED,
     .help = "speeds the readings corrected"},
    {BW_AT(struct source_output, suspicions), .kind = BW_LIST, .of = &SHARE,
     .help = "wrong plates and settings that may explain the readings"},
    {BW_AT(struct source_output, experiments), .kind = BW_LIST, .of = &EXPERIMENT,
     .help = "what would settle it, best first"},
    {BW_AT(struct source_output, proof), .kind = BW_TEXT,
     .help = "how to make sure of the likeliest part"},
    {BW_AT(struct source_output, proof_caution), .kind = BW_TEXT, .help = "what can hurt in that"},
    {BW_AT(struct source_output, stop_gaps), .kind = BW_LIST, .of = &STOP_GAP,
     .help = "for tonight"},
    {BW_AT(struct source_output, assumptions), .kind = BW_LIST, .of = &LINE,
     .help = "what was taken for granted"},
    {BW_AT(struct source_output, chart), .kind = BW_LIST, .of = &CHART,
     .help = "lines of the chart of pitch against feed"},
    BW_END_FIELDS,
};
const struct bw_record source_output_record = {.name = "source",
                                               .fields = OUTPUT_FIELDS,
                                               .size = sizeof(struct source_output),
                                               .help = "which part leaves the marks"};
