// record.c - the fields of the study `listen`, each defined here and nowhere else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/listen/record.h"

#include "machine/machine.h"

static const struct bw_choice OTHERS[] = {
    {"before", "the same place before the repair"},
    {"idle", "the same place with nothing in cut"},
    {"another head", "another head of the machine"},
    {NULL, NULL},
};
static const struct bw_choice YES_NO[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};
static const struct bw_choice USES[] = {
    {"usable", "nothing against it"},
    {"limited", "some answers cannot be had from it"},
    {"unusable", "record it again"},
    {NULL, NULL},
};
static const struct bw_choice PARTS[] = {
    {"cage", NULL},       {"rolling element", NULL}, {"outer race", NULL}, {"inner race", NULL},
    {"none", "no fault"}, {"cannot tell", NULL},     {NULL, NULL},
};
static const struct bw_file_kind SOUND = {.name = "recording", .medium = BW_MEDIUM_SOUND};

static const struct bw_field INPUT_FIELDS[] = {
    {BW_AT(struct listen_input, sound), .kind = BW_FILE, .of = &SOUND, .required = true,
     .positional = true, .help = "the recording: WAV, FLAC, OGG, MP3, or numbers as CSV"},
    {BW_AT(struct listen_input, machine), .kind = BW_FILE, .of = &bw_machine_file,
     .help = "the machine file, for the speeds to look for and the bearings fitted"},
    {BW_AT(struct listen_input, head), .kind = BW_COUNT, .min = 1, .max = BW_MAX_HEADS,
     .help = "the one head running"},
    {BW_AT(struct listen_input, bearing), .kind = BW_TEXT,
     .help = "a bearing by designation or geometry: 6205, or 9 balls of 7.94 mm on 38.5 mm"},
    {BW_AT(struct listen_input, shaft), .kind = BW_QUANTITY, .dim = BW_DIM_TURNS,
     .of = bw_turns_ways, .min = 0.5, .max = 1000,
     .help = "speed of that bearing's shaft, roughly"},
    {BW_AT(struct listen_input, outer_turns), .kind = BW_CHOICE, .of = YES_NO, .fallback = "no",
     .help = "yes where the shaft stands still and the outer ring turns"},
    {BW_AT(struct listen_input, other), .kind = BW_FILE, .of = &SOUND,
     .help = "a second recording to compare with"},
    {BW_AT(struct listen_input, other_is), .kind = BW_CHOICE, .of = OTHERS, .fallback = "before",
     .help = "what the second recording is of"},
    {BW_AT(struct listen_input, mains), .kind = BW_QUANTITY, .dim = BW_DIM_RATE, .min = 10,
     .max = 500, .help = "frequency of the mains, if no machine file says"},
    {BW_AT(struct listen_input, rate), .kind = BW_QUANTITY, .dim = BW_DIM_RATE, .min = 100,
     .max = 2e6, .help = "samples a second, for numbers without a column of times"},
    {BW_AT(struct listen_input, channel), .kind = BW_COUNT, .min = 1, .max = BW_MAX_SOUND_CHANNELS,
     .fallback = "1", .help = "the channel to listen to"},
    BW_END_FIELDS,
};
static const char *input_rule(const void *record, const char **field) {
    const struct listen_input *input = record;
    *field = "shaft";
    if (input->bearing != NULL && !bw_known(input->shaft))
        return "a bearing needs its shaft's speed, roughly: 1480 rpm";
    *field = "head";
    if (input->head != BW_NO_COUNT && input->machine.name == NULL)
        return "a head needs its machine file";
    return NULL;
}
const struct bw_record listen_input_record = {
    .name = "listen input",
    .help = "a recording, and what is known about what was recorded",
    .fields = INPUT_FIELDS,
    .size = sizeof(struct listen_input),
    .check = input_rule};

// --- answers ---------------------------------------------------------------------------------

static const struct bw_field REMARK_FIELDS[] = {
    {BW_AT(struct listen_remark, text), .kind = BW_TEXT, .help = "a sentence"},
    BW_END_FIELDS,
};
static const struct bw_record REMARK = {.name = "remark",
                                        .help = "what else to know",
                                        .fields = REMARK_FIELDS,
                                        .size = sizeof(struct listen_remark)};
static const struct bw_field RECORDING_FIELDS[] = {
    {BW_AT(struct listen_recording, use), .kind = BW_CHOICE, .of = USES,
     .help = "whether it can be used"},
    {BW_AT(struct listen_recording, length), .kind = BW_QUANTITY, .dim = BW_DIM_TIME,
     .help = "how long it is"},
    {BW_AT(struct listen_recording, rate), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "samples a second"},
    {BW_AT(struct listen_recording, channel), .kind = BW_COUNT, .help = "channel listened to"},
    {BW_AT(struct listen_recording, top), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "highest frequency with sound in it"},
    {BW_AT(struct listen_recording, slowest), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "slowest rate it is long enough for"},
    {BW_AT(struct listen_recording, level), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "level in dB under full scale; not given for numbers"},
    {BW_AT(struct listen_recording, clipped), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "share of samples cut at the top"},
    {BW_AT(struct listen_recording, hum), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,
     .help = "share of the power that is mains hum"},
    {BW_AT(struct listen_recording, remarks), .kind = BW_LIST, .of = &REMARK,
     .help = "what is wrong with it, and how to record better"},
    BW_END_FIELDS,
};
static const struct bw_record RECORDING = {.name = "recording",
                                           .help = "whether a recording can be used",
                                           .fields = RECORDING_FIELDS,
                                           .size = sizeof(struct listen_recording)};
static const struct bw_field SPEED_FIELDS[] = {
    {BW_AT(struct listen_speed, id), .kind = BW_TEXT,
     .help = "stable name, as rates has it; not given without a machine file"},
    {BW_AT(struct listen_speed, name), .kind = BW_TEXT, .help = "what turns"},
    {BW_AT(struct listen_speed, rate), .kind = BW_QUANTITY, .dim = BW_DIM_RATE, .of = bw_rate_ways,
     .help = "as heard"},
    {BW_AT(struct listen_speed, stated), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "as the machine file has it"},
    {BW_AT(struct listen_speed, lines), .kind = BW_COUNT,
     .help = "lines of its family that stand out"},
    {BW_AT(struct listen_speed, level), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "level of its lines together, in dB"},
    {BW_AT(struct listen_speed, decided), .kind = BW_CHOICE, .of = YES_NO,
     .help = "no where another part turns at the same rate"},
    {BW_AT(struct listen_speed, phrase), .kind = BW_TEXT,
     .help = "the reading to give to the command source as --rate"},
    BW_END_FIELDS,
};
static const struct bw_record SPEED = {.name = "speed",
                                       .help = "a rate heard",
                                       .fields = SPEED_FIELDS,
                                       .size = sizeof(struct listen_speed)};
static const struct bw_field BELT_FIELDS[] = {
    {BW_AT(struct listen_belt, name), .kind = BW_TEXT, .help = "which belt"},
    {BW_AT(struct listen_belt, stated), .kind = BW_QUANTITY, .dim = BW_DIM_SPEED,
     .of = bw_belt_speed_ways, .help = "as the machine file has it"},
    {BW_AT(struct listen_belt, found), .kind = BW_QUANTITY, .dim = BW_DIM_SPEED,
     .help = "as the rates heard and the lengths in the file say"},
    BW_END_FIELDS,
};
static const struct bw_record BELT = {.name = "belt",
                                      .help = "a belt's true speed",
                                      .fields = BELT_FIELDS,
                                      .size = sizeof(struct listen_belt)};
static const struct bw_field LINE_FIELDS[] = {
    {BW_AT(struct listen_line, frequency), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "where"},
    {BW_AT(struct listen_line, level), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "level in dB, of full scale or of the numbers' unit; not calibrated"},
    {BW_AT(struct listen_line, over), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "dB over the noise around it"},
    {BW_AT(struct listen_line, order), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "in turns of the first speed heard"},
    {BW_AT(struct listen_line, source), .kind = BW_TEXT, .help = "what turns at that rate"},
    BW_END_FIELDS,
};
static const struct bw_record LINE = {
    .name = "line", .help = "a tone", .fields = LINE_FIELDS, .size = sizeof(struct listen_line)};
#define CHANCE(member, words)                                                                      \
    {                                                                                              \
        BW_AT(struct listen_bearing, member), .kind = BW_QUANTITY, .dim = BW_DIM_RATIO,            \
                                              .help = words                                        \
    }
static const struct bw_field BEARING_FIELDS[] = {
    {BW_AT(struct listen_bearing, id), .kind = BW_TEXT, .help = "the shaft, as rates names it"},
    {BW_AT(struct listen_bearing, name), .kind = BW_TEXT, .help = "which bearing"},
    {BW_AT(struct listen_bearing, part), .kind = BW_CHOICE, .of = PARTS, .help = "the verdict"},
    {BW_AT(struct listen_bearing, verdict), .kind = BW_TEXT, .help = "the verdict in words"},
    {BW_AT(struct listen_bearing, shaft), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "rate of its shaft"},
    {BW_AT(struct listen_bearing, rate), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "rate of the blows found"},
    {BW_AT(struct listen_bearing, low), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "band in which they were found, from"},
    {BW_AT(struct listen_bearing, high), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "band in which they were found, to"},
    {BW_AT(struct listen_bearing, harmonics), .kind = BW_COUNT,
     .help = "harmonics of that rate that stand out"},
    {BW_AT(struct listen_bearing, sidebands), .kind = BW_COUNT,
     .help = "of their sidebands that stand out, one turn of the shaft or cage away"},
    CHANCE(cage, "chance of a damaged cage"),
    CHANCE(element, "chance of a damaged ball or roller"),
    CHANCE(outer, "chance of a damaged outer race"),
    CHANCE(inner, "chance of a damaged inner race"),
    CHANCE(none, "chance that there is no damage"),
    CHANCE(unknown, "chance of damage that cannot be named"),
    {BW_AT(struct listen_bearing, evidence), .kind = BW_TEXT, .help = "what speaks for it"},
    BW_END_FIELDS,
};
static const struct bw_record BEARING = {.name = "bearing",
                                         .help = "what the recording says of a bearing",
                                         .fields = BEARING_FIELDS,
                                         .size = sizeof(struct listen_bearing)};
static const struct bw_field CHANGE_FIELDS[] = {
    {BW_AT(struct listen_change, name), .kind = BW_TEXT, .help = "what"},
    {BW_AT(struct listen_change, rate), .kind = BW_QUANTITY, .dim = BW_DIM_RATE,
     .help = "its rate in this recording"},
    {BW_AT(struct listen_change, change), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER,
     .help = "dB over the second recording"},
    {BW_AT(struct listen_change, verdict), .kind = BW_TEXT, .help = "in words"},
    BW_END_FIELDS,
};
static const struct bw_record CHANGE = {.name = "change",
                                        .help = "what differs between two recordings",
                                        .fields = CHANGE_FIELDS,
                                        .size = sizeof(struct listen_change)};
static const struct bw_field OUTPUT_FIELDS[] = {
    {BW_AT(struct listen_output, answer), .kind = BW_TEXT, .help = "the answer in a sentence"},
    {BW_AT(struct listen_output, machine), .kind = BW_TEXT, .help = "the machine's name"},
    {BW_AT(struct listen_output, recording), .kind = BW_RECORD, .of = &RECORDING,
     .help = "the recording itself"},
    {BW_AT(struct listen_output, other), .kind = BW_RECORD, .of = &RECORDING,
     .help = "the second recording"},
    {BW_AT(struct listen_output, speeds), .kind = BW_LIST, .of = &SPEED,
     .help = "rates heard, the surest first"},
    {BW_AT(struct listen_output, belts), .kind = BW_LIST, .of = &BELT, .help = "belt speeds"},
    {BW_AT(struct listen_output, bearings), .kind = BW_LIST, .of = &BEARING, .help = "bearings"},
    {BW_AT(struct listen_output, lines), .kind = BW_LIST, .of = &LINE,
     .help = "the tones that stand out most"},
    {BW_AT(struct listen_output, changes), .kind = BW_LIST, .of = &CHANGE,
     .help = "against the second recording"},
    {BW_AT(struct listen_output, remarks), .kind = BW_LIST, .of = &REMARK,
     .help = "what else to know"},
    BW_END_FIELDS,
};
const struct bw_record listen_output_record = {.name = "listen",
                                               .help = "what a recording says",
                                               .fields = OUTPUT_FIELDS,
                                               .size = sizeof(struct listen_output)};
