// knowledge_fields.c - the keys of a knowledge file, each defined here and nowhere else.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/knowledge_document.h"

#include <string.h>

static const struct bw_choice GROUPS[] = {
    {"belt", "the sanding belt"},
    {"machine", "the machine and its parts"},
    {"setup", "how it is set and used"},
    {"wood", "what comes in"},
    {"shop", "air, dust, humidity, storage"},
    {NULL, NULL},
};
static const struct bw_choice YES_NO[] = {{"no", NULL}, {"yes", NULL}, {NULL, NULL}};
static const struct bw_choice KINDS[] = {
    {"symptom", "what the caller says"},       {"ask", "a question"},
    {"look", "something to look at"},          {"measure", "something to measure"},
    {"swap", "one thing changed for a trial"}, {NULL, NULL},
};
static const struct bw_choice PLACES[] = {
    {"phone", "the owner can answer it on the phone"},
    {"machine", "somebody must be there"},
    {NULL, NULL},
};
static const struct bw_choice BELTS[] = {
    {"any", "standing or running, it does not matter"},
    {"stopped", "must stand still"},
    {"running", "must run"},
    {NULL, NULL},
};
static const struct bw_choice DOORS[] = {
    {"shut", "stays shut"}, {"open", "is opened"}, {NULL, NULL}};
static const struct bw_choice REMEDY_KINDS[] = {
    {"cure", "ends the matter once it is proven"},
    {"stop-gap", "for tonight; never closes a job"},
    {NULL, NULL},
};
static const struct bw_choice WHO[] = {
    {"owner", "the shop itself"},
    {"technician", "the service technician"},
    {"specialist", "another firm"},
    {"electrician", "a licensed electrician"},
    {NULL, NULL},
};
static const struct bw_choice DIMS[] = {
#define BW_X(name, word, physical, si, us) {#name, word},
    BW_DIMS(BW_X)
#undef BW_X
        {NULL, NULL},
};

#define MINUTES(type, member, most)                                                                \
    BW_AT(type, member), .kind = BW_QUANTITY, .dim = BW_DIM_MINUTES, .min = 0, .max = (most)*60.0
#define CHANCE(type, member, least, most)                                                          \
    BW_AT(type, member), .kind = BW_QUANTITY, .dim = BW_DIM_NUMBER, .min = (least), .max = (most)

static const struct bw_field NAME_FIELDS[] = {
    {BW_AT(struct bw_known_name, name), .kind = BW_TEXT, .lead = "", .required = true,
     .help = "an id or a word"},
    BW_END_FIELDS,
};
static const struct bw_record NAME = {.name = "name",
                                      .help = "one id or word",
                                      .fields = NAME_FIELDS,
                                      .size = sizeof(struct bw_known_name)};

static const struct bw_field NEED_FIELDS[] = {
    {BW_AT(struct bw_known_need, feature), .kind = BW_CHOICE, .of = bw_feature_words, .lead = "",
     .required = true, .help = "what the machine must have"},
    BW_END_FIELDS,
};
static const struct bw_record NEED = {.name = "need",
                                      .help = "what the machine must have",
                                      .fields = NEED_FIELDS,
                                      .size = sizeof(struct bw_known_need)};

static const struct bw_field LINK_FIELDS[] = {
    {BW_AT(struct bw_known_link, cause), .kind = BW_TEXT, .lead = "", .required = true,
     .help = "id of a cause, or any and a group"},
    {CHANCE(struct bw_known_link, chance, 0.005, 0.99), .lead = "at", .required = true,
     .help = "the chance that this cause alone brings a yes; of a remedy, that it cures the cause"},
    BW_END_FIELDS,
};
static const struct bw_record LINK = {.name = "link",
                                      .help = "a cause and a chance",
                                      .fields = LINK_FIELDS,
                                      .size = sizeof(struct bw_known_link)};

static const struct bw_field READING_FIELDS[] = {
    {BW_AT(struct bw_known_reading, of), .kind = BW_CHOICE, .of = DIMS, .lead = "",
     .required = true, .help = "what is read: ratio, length, depth, resistance ..."},
    {BW_AT(struct bw_known_reading, below), .kind = BW_TEXT, .lead = "below",
     .help = "yes below this"},
    {BW_AT(struct bw_known_reading, above), .kind = BW_TEXT, .lead = "above",
     .help = "yes above this"},
    {BW_AT(struct bw_known_reading, within), .kind = BW_TEXT, .lead = "within",
     .help = "how far from the limit the truth is open"},
    BW_END_FIELDS,
};
static const char *check_reading(const void *record, const char **field) {
    const struct bw_known_reading *r = record;
    *field = "below";
    return (r->below == NULL) == (r->above == NULL) ? "needs one limit, below or above" : NULL;
}
static const struct bw_record READING = {.name = "reading",
                                         .help = "how a typed reading becomes yes or no",
                                         .fields = READING_FIELDS,
                                         .size = sizeof(struct bw_known_reading),
                                         .check = check_reading};

static const struct bw_field CAUSE_FIELDS[] = {
    {BW_AT(struct bw_known_cause, id), .kind = BW_TEXT, .required = true, .help = "its id"},
    {BW_AT(struct bw_known_cause, group), .kind = BW_CHOICE, .of = GROUPS,
     .help = "where it belongs"},
    {CHANCE(struct bw_known_cause, weight, 0.01, 500), .help = "of 1000 calls, how many have it"},
    {BW_AT(struct bw_known_cause, per_head), .kind = BW_CHOICE, .of = YES_NO,
     .help = "yes where it sits on one head"},
    {BW_AT(struct bw_known_cause, needs), .kind = BW_LIST, .of = &NEED,
     .help = "what the machine must have for it"},
    {BW_AT(struct bw_known_cause, name), .kind = BW_TEXT, .help = "its name in trade words"},
    {BW_AT(struct bw_known_cause, plain), .kind = BW_TEXT, .help = "what it is, for the owner"},
    BW_END_FIELDS,
};
static const struct bw_record CAUSE = {.name = "cause",
                                       .help = "something that can be wrong",
                                       .fields = CAUSE_FIELDS,
                                       .size = sizeof(struct bw_known_cause)};

static const struct bw_field CHECK_FIELDS[] = {
    {BW_AT(struct bw_known_check, id), .kind = BW_TEXT, .required = true, .help = "its id"},
    {BW_AT(struct bw_known_check, kind), .kind = BW_CHOICE, .of = KINDS, .help = "what kind"},
    {MINUTES(struct bw_known_check, minutes, 600), .help = "time it takes"},
    {MINUTES(struct bw_known_check, fit, 600),
     .help = "time for fitting something under lock-out before it is read with the doors shut"},
    {BW_AT(struct bw_known_check, place), .kind = BW_CHOICE, .of = PLACES,
     .help = "where it can be done; symptoms and questions are for the phone, else at the machine"},
    {BW_AT(struct bw_known_check, belts), .kind = BW_CHOICE, .of = BELTS,
     .help = "what the sanding belts do meanwhile"},
    {BW_AT(struct bw_known_check, door), .kind = BW_CHOICE, .of = DOORS,
     .help = "the machine's door"},
    {BW_AT(struct bw_known_check, lock), .kind = BW_CHOICE, .of = YES_NO,
     .help = "locked out, air bled"},
    {BW_AT(struct bw_known_check, when), .kind = BW_LIST, .of = &NAME,
     .help = "only after one of these symptoms"},
    {BW_AT(struct bw_known_check, needs), .kind = BW_LIST, .of = &NEED,
     .help = "what the machine must have for it"},
    {BW_AT(struct bw_known_check, question), .kind = BW_TEXT,
     .help = "the question, answered by yes or no"},
    {BW_AT(struct bw_known_check, how), .kind = BW_TEXT, .help = "how it is done"},
    {BW_AT(struct bw_known_check, yes), .kind = BW_TEXT, .help = "what a yes looks like"},
    {BW_AT(struct bw_known_check, no), .kind = BW_TEXT, .help = "what a no looks like"},
    {BW_AT(struct bw_known_check, caution), .kind = BW_TEXT, .help = "said beside the question"},
    {BW_AT(struct bw_known_check, alarm), .kind = BW_TEXT, .help = "said when the answer is yes"},
    {BW_AT(struct bw_known_check, words), .kind = BW_LIST, .of = &NAME,
     .help = "words of a caller that say yes to this before it is asked"},
    {BW_AT(struct bw_known_check, words_no), .kind = BW_LIST, .of = &NAME,
     .help = "words of a caller that say no to this"},
    {BW_AT(struct bw_known_check, names_head), .kind = BW_CHOICE, .of = YES_NO,
     .help = "yes where the answer can name a head"},
    {BW_AT(struct bw_known_check, reading), .kind = BW_RECORD, .of = &READING,
     .help = "how a typed reading becomes yes or no: ratio below 35 % within 5 %"},
    {CHANCE(struct bw_known_check, wrong, 0.001, 0.45),
     .help = "how often such an answer is wrong, if not as usual for its kind"},
    {CHANCE(struct bw_known_check, leak, 0.001, 0.9),
     .help = "the chance of a yes when none of the causes is there"},
    {CHANCE(struct bw_known_check, others, 0.005, 0.99),
     .help = "the chance for causes of the symptoms under when that are not given"},
    {BW_AT(struct bw_known_check, given), .kind = BW_LIST, .of = &LINK,
     .help = "causes and the chance that each alone makes the answer yes"},
    {BW_AT(struct bw_known_check, also), .kind = BW_LIST, .of = &LINK,
     .help = "single links on top of what another file gives"},
    BW_END_FIELDS,
};
static const struct bw_record CHECK = {.name = "check",
                                       .help = "a question, look, measurement or trial",
                                       .fields = CHECK_FIELDS,
                                       .size = sizeof(struct bw_known_check)};

static const struct bw_field REMEDY_FIELDS[] = {
    {BW_AT(struct bw_known_remedy, id), .kind = BW_TEXT, .required = true, .help = "its id"},
    {BW_AT(struct bw_known_remedy, kind), .kind = BW_CHOICE, .of = REMEDY_KINDS,
     .help = "cure or stop-gap"},
    {BW_AT(struct bw_known_remedy, name), .kind = BW_TEXT, .help = "what to do, in a few words"},
    {BW_AT(struct bw_known_remedy, how), .kind = BW_TEXT, .help = "how it is done"},
    {BW_AT(struct bw_known_remedy, who), .kind = BW_CHOICE, .of = WHO, .help = "who can do it"},
    {MINUTES(struct bw_known_remedy, minutes, 6000), .help = "work"},
    {MINUTES(struct bw_known_remedy, down, 20000), .help = "how long the machine stands"},
    {CHANCE(struct bw_known_remedy, money, 0, 1e6),
     .help = "parts and outside work, a rough estimate that never reaches a customer"},
    {BW_AT(struct bw_known_remedy, parts), .kind = BW_TEXT, .help = "what must be there"},
    {BW_AT(struct bw_known_remedy, lead), .kind = BW_COUNT, .min = 0, .max = 365,
     .help = "days until parts or people are there"},
    {BW_AT(struct bw_known_remedy, belts), .kind = BW_CHOICE, .of = BELTS,
     .help = "what the sanding belts do meanwhile"},
    {BW_AT(struct bw_known_remedy, door), .kind = BW_CHOICE, .of = DOORS,
     .help = "the machine's door"},
    {BW_AT(struct bw_known_remedy, lock), .kind = BW_CHOICE, .of = YES_NO,
     .help = "locked out, air bled"},
    {BW_AT(struct bw_known_remedy, needs), .kind = BW_LIST, .of = &NEED,
     .help = "what the machine must have for it"},
    {BW_AT(struct bw_known_remedy, caution), .kind = BW_TEXT, .help = "said beside it"},
    {BW_AT(struct bw_known_remedy, verify), .kind = BW_TEXT, .help = "how the cure is proven"},
    {BW_AT(struct bw_known_remedy, costs_output), .kind = BW_TEXT,
     .help = "what a stop-gap costs in output"},
    {BW_AT(struct bw_known_remedy, may_stand), .kind = BW_TEXT,
     .help = "how long a stop-gap may stand"},
    {BW_AT(struct bw_known_remedy, cures), .kind = BW_LIST, .of = &LINK,
     .help = "causes and the chance that this cures each (of a stop-gap: that it is good enough)"},
    {BW_AT(struct bw_known_remedy, also), .kind = BW_LIST, .of = &LINK,
     .help = "single links on top of what another file gives"},
    BW_END_FIELDS,
};
static const struct bw_record REMEDY = {.name = "remedy",
                                        .help = "what to do about causes",
                                        .fields = REMEDY_FIELDS,
                                        .size = sizeof(struct bw_known_remedy)};

static const struct bw_field ASSUMPTION_FIELDS[] = {
    {MINUTES(struct bw_assumptions, travel, 6000), .help = "a visit, there and back"},
    {MINUTES(struct bw_assumptions, lock_out, 600), .help = "isolate, bleed, wait, open"},
    {MINUTES(struct bw_assumptions, close_up, 600), .help = "close, restore, start"},
    {MINUTES(struct bw_assumptions, prove, 600), .help = "panels that show the fault is gone"},
    {MINUTES(struct bw_assumptions, failed, 6000),
     .help = "what a repair that did not help costs beyond its work: trust, parts for nothing"},
    {MINUTES(struct bw_assumptions, specialist, 60000), .help = "what calling a specialist costs"},
    {MINUTES(struct bw_assumptions, wait, 600),
     .help = "what a day of waiting for parts or people counts, in minutes of work"},
    {MINUTES(struct bw_assumptions, patience, 60),
     .help = "what one more step costs beyond its own time: nobody answers forty questions"},
    {CHANCE(struct bw_assumptions, hour, 0.01, 1e6), .help = "money per hour of work"},
    {CHANCE(struct bw_assumptions, down, 0, 10),
     .help = "what a minute of standing machine counts against one of work"},
    {CHANCE(struct bw_assumptions, together, 0, 2),
     .help = "calls with two causes at once, for each with one"},
    {CHANCE(struct bw_assumptions, unlisted, 0.001, 0.5),
     .help = "share of calls whose cause is on no list"},
    {CHANCE(struct bw_assumptions, unsaid, 0.01, 0.99),
     .help = "how often a symptom that is there is not mentioned when asked for anything else"},
    {CHANCE(struct bw_assumptions, doubt, 0, 3),
     .help = "standard deviation of every chance on the logit scale"},
    {CHANCE(struct bw_assumptions, doubt_weight, 0, 3),
     .help = "standard deviation of every weight on the log scale"},
    {CHANCE(struct bw_assumptions, wrong_symptom, 0.001, 0.45), .help = "wrong symptoms"},
    {CHANCE(struct bw_assumptions, wrong_ask, 0.001, 0.45), .help = "wrong answers to questions"},
    {CHANCE(struct bw_assumptions, wrong_look, 0.001, 0.45), .help = "wrong looks"},
    {CHANCE(struct bw_assumptions, wrong_measure, 0.001, 0.45), .help = "wrong measurements"},
    {CHANCE(struct bw_assumptions, wrong_swap, 0.001, 0.45), .help = "wrong trials"},
    {CHANCE(struct bw_assumptions, strength_weight, 0.1, 1e6),
     .help = "pseudo-cases behind all weights together"},
    {CHANCE(struct bw_assumptions, strength_link, 0.1, 1e6),
     .help = "pseudo-cases behind one chance"},
    BW_END_FIELDS,
};
const struct bw_record bw_assumptions_record = {
    .name = "assumptions",
    .help = "what steps cost and how far the numbers are trusted",
    .fields = ASSUMPTION_FIELDS,
    .size = sizeof(struct bw_assumptions)};

static const struct bw_field DOCUMENT_FIELDS[] = {
    {BW_AT(struct bw_knowledge_document, assumptions), .kind = BW_RECORD,
     .of = &bw_assumptions_record, .help = "costs and trust"},
    {BW_AT(struct bw_knowledge_document, drop), .kind = BW_LIST, .of = &NAME,
     .help = "ids of entries of earlier files to take out"},
    {BW_AT(struct bw_knowledge_document, causes), .kind = BW_LIST, .of = &CAUSE,
     .count_max = BW_MAX_CAUSES, .help = "what can be wrong"},
    {BW_AT(struct bw_knowledge_document, checks), .kind = BW_LIST, .of = &CHECK,
     .count_max = BW_MAX_KNOWN_CHECKS, .help = "what can be asked, looked at, measured or tried"},
    {BW_AT(struct bw_knowledge_document, remedies), .kind = BW_LIST, .of = &REMEDY,
     .count_max = BW_MAX_KNOWN_CHECKS, .help = "what can be done"},
    BW_END_FIELDS,
};
const struct bw_record bw_knowledge_record = {.name = "knowledge",
                                              .help = "causes, checks and remedies",
                                              .fields = DOCUMENT_FIELDS,
                                              .size = sizeof(struct bw_knowledge_document)};

const char *bw_group_word(int group) { return GROUPS[group].name; }
const char *bw_who_word(int who) { return WHO[who].help; }

const char *bw_check_kind_word(int kind) {
    static const char *const WORDS[] = {"symptom", "question", "look", "measurement", "trial"};
    return WORDS[kind];
}

int bw_group_find(const char *word, size_t length) {
    for (int g = 0; GROUPS[g].name != NULL; g++)
        if (strlen(GROUPS[g].name) == length && memcmp(GROUPS[g].name, word, length) == 0) return g;
    return -1;
}
