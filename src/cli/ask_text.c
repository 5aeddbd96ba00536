// ask_text.c - the interview in plain words: steps, reasons, and where it stands.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/ask.h"

#include <math.h>
#include <string.h>

#define LOCK_OUT                                                                                   \
    "lock out power and air, bleed the air, wait until belts and drums stand still; then open"
#define MOST_CURES 3
#define MOST_STOP_GAPS 2
#define WORTH_NAMING 0.08  // remedies less likely to end the fault are left out

const char *bw_ask_cause(const struct bw_ask *ask, size_t cause) {
    return cause == BW_NO_INDEX ? "something that is not on the list"
                                : ask->knowledge->cause[cause].name;
}

static const char *network_cause(const struct bw_ask *ask, size_t cause) {
    return bw_ask_cause(ask, cause == BW_NO_INDEX ? BW_NO_INDEX : ask->i.c.network->cause[cause]);
}

static bool write(struct bw_ask *ask, struct bw_text *text, struct bw_err *err) {
    return bw_write(ask->cli, "-", &text->out, err);
}

static struct bw_text begin(struct bw_ask *ask) { return bw_cli_text(ask->cli, ask->units); }

static void prompt(struct bw_text *text) { bw_buffer_text(&text->out, "> "); }

// ---- the complaint ----

static void number_symptoms(const struct bw_ask *ask, struct bw_text *text) {
    for (size_t s = 0; s < ask->i.n_symptoms; s++) {
        const char *mark = bw_arena_format(text->arena, "%2zu. ", s + 1);
        bw_text_item(text, mark == NULL ? "" : mark, "%s",
                     ask->knowledge->check[ask->i.symptoms[s]].question);
    }
}

bool bw_ask_text_list(struct bw_ask *ask, struct bw_err *err) {
    struct bw_text text = begin(ask);
    bw_text_para(&text, "Give the number of what fits best, or several (3 7):");
    number_symptoms(ask, &text);
    return write(ask, &text, err);
}

bool bw_ask_text_heard(struct bw_ask *ask, struct bw_err *err) {
    struct bw_text text = begin(ask);
    const struct bw_hearing *heard = &ask->i.heard;
    text.indent = 2;
    size_t told = 0;
    for (size_t h = 0; h < heard->n; h++) {
        const struct bw_heard *one = &heard->items[h];
        const struct bw_known_check *check = &ask->knowledge->check[one->check];
        if (one->unclear && one->yes) continue;
        if (told++ == 0) bw_text_para(&text, "Taken as (undo if not so):");
        bw_text_item(&text, "- ", "%s", one->yes ? check->yes : check->no);
        if (one->yes && check->alarm != NULL) bw_text_caution(&text, "%s", check->alarm);
    }
    if (told == 0 && ask->i.stage != BW_STAGE_WHICH)
        bw_text_para(&text, "No word of that is known here; it is left aside.");
    return write(ask, &text, err);
}

static void ask_which(const struct bw_ask *ask, struct bw_text *text) {
    bool nothing = ask->i.n_symptoms > 5;
    bw_text_para(text, nothing ? "No symptom known here is in those words. Which of these is it "
                                 "nearest to? A number, several, other words, or ? for none."
                               : "That can mean several things. Which is it? A number, several, or "
                                 "? if you can't say.");
    number_symptoms(ask, text);
}

// ---- a step ----

static void how_to_answer(const struct bw_ask *ask, struct bw_text *text, size_t check) {
    const struct bw_known_check *c = &ask->knowledge->check[check];
    bw_text_item(text, "y  ", "%s", c->yes);
    bw_text_item(text, "n  ", "%s", c->no);
    if (ask->knowledge->limit[check].given)
        bw_text_item(text, "or ", "the reading, such as %s",
                     bw_dim_example(ask->knowledge->limit[check].dim, ask->units));
}

static void minutes_and_place(const struct bw_ask *ask, struct bw_text *text, size_t check) {
    const struct bw_known_check *c = &ask->knowledge->check[check];
    struct bw_quantity minutes = c->minutes;
    if (bw_known(c->fit)) minutes.v += c->fit.v;
    const char *place = c->place == BW_AT_MACHINE ? ", somebody who knows the machine" : "";
    const char *locked = c->lock == BW_YES ? ", locked out" : "";
    if (minutes.v > 181 || place[0] != '\0' || locked[0] != '\0' || bw_known(c->fit))
        bw_text_para(text, "(about %.0f min%s%s; how, why, ? are answers too)", minutes.v / 60,
                     place, locked);
}

static void cautions(const struct bw_ask *ask, struct bw_text *text, size_t check) {
    const struct bw_known_check *c = &ask->knowledge->check[check];
    if (bw_known(c->fit))
        bw_text_caution(text, "fit it locked out (" LOCK_OUT "), take the hands out, shut the "
                              "doors, and read it from outside");
    else if (c->lock == BW_YES)
        bw_text_caution(text, LOCK_OUT);
    else if (c->belts == BW_RUNNING)
        bw_text_caution(text, "doors shut, nobody in line with the infeed");
    if (c->caution != NULL) bw_text_caution(text, "%s", c->caution);
}

static void visit(struct bw_ask *ask, struct bw_text *text, bool there) {
    if (!there || ask->i.c.stand.on_site || ask->travel_told) return;
    ask->travel_told = true;
    bw_text_para(text,
                 "The phone has told what it can; from here somebody should be at the "
                 "machine (a visit of about %.0f min of travel is counted).",
                 ask->knowledge->assume.travel.v / 60);
    bw_text_gap(text);
}

static void ask_check(struct bw_ask *ask, struct bw_text *text, size_t check) {
    const struct bw_known_check *c = &ask->knowledge->check[check];
    visit(ask, text, c->place == BW_AT_MACHINE);
    const char *mark = bw_arena_format(text->arena, "%zu. ", ask->i.steps + 1);
    bw_text_item(text, mark == NULL ? "" : mark, "%s", c->question);
    text->indent = 3;
    minutes_and_place(ask, text, check);
    cautions(ask, text, check);
    how_to_answer(ask, text, check);
    text->indent = 0;
}

static void days(struct bw_text *text, const struct bw_known_remedy *r) {
    if (r->parts != NULL && r->lead > 0)
        bw_text_para(text, "Needs: %s; allow %ld day%s.", r->parts, r->lead,
                     r->lead == 1 ? "" : "s");
    else if (r->parts != NULL)
        bw_text_para(text, "Needs: %s.", r->parts);
    else if (r->lead > 0)
        bw_text_para(text, "Allow %ld day%s until it can be done.", r->lead,
                     r->lead == 1 ? "" : "s");
}

static const char *who(const struct bw_known_remedy *r) {
    static const char *const WHO[] = {"the shop itself", "a technician", "a specialist firm",
                                      "a licensed electrician"};
    return WHO[r->who];
}

static void tell_remedy(const struct bw_ask *ask, struct bw_text *text, size_t remedy) {
    const struct bw_known_remedy *r = &ask->knowledge->remedy[remedy];
    bw_text_para(text, "%s", r->how);
    bw_text_para(text, "By %s, about %.0f min of work.", who(r), r->minutes.v / 60);
    days(text, r);
    if (r->lock == BW_YES) bw_text_caution(text, LOCK_OUT);
    bw_text_caution(text, "%s", r->caution);
    bw_text_para(text, "It is mended when: %s", r->verify);
}

static bool ask_remedy(struct bw_ask *ask, const struct bw_next *next, struct bw_err *err) {
    if (!bw_ask_text_verdict(ask, err)) return false;
    struct bw_text text = begin(ask);
    const struct bw_known_remedy *first = &ask->knowledge->remedy[next->which];
    bw_text_gap(&text);
    visit(ask, &text, first->who == BW_TECHNICIAN || first->who == BW_SPECIALIST);
    const char *mark = bw_arena_format(text.arena, "%zu. ", ask->i.steps + 1);
    bw_text_item(&text, mark == NULL ? "" : mark, "Do now: %s%s%s. It ends the fault %s.",
                 first->name, next->second == BW_NO_INDEX ? "" : ", and in the same lock-out: ",
                 next->second == BW_NO_INDEX ? "" : ask->knowledge->remedy[next->second].name,
                 bw_text_odds(&text, next->chance));
    text.indent = 3;
    tell_remedy(ask, &text, next->which);
    if (next->second != BW_NO_INDEX) tell_remedy(ask, &text, next->second);
    bw_text_para(&text, "Done? Is the fault gone? y gone, n as before, less, stop for later");
    prompt(&text);
    return write(ask, &text, err);
}

static void ask_specialist(struct bw_ask *ask, struct bw_text *text) {
    bw_text_para(text,
                 "%zu. Stop here and call somebody who knows this kind of machine. What is "
                 "left costs more to find by trying. Enter to end.",
                 ask->i.steps + 1);
}

bool bw_ask_text_step(struct bw_ask *ask, struct bw_err *err) {
    struct bw_text text = begin(ask);
    const struct bw_next *next = ask->i.stage == BW_STAGE_STEP ? bw_interview_next(&ask->i) : NULL;
    if (next != NULL && next->kind == BW_NEXT_REMEDY) return ask_remedy(ask, next, err);
    if (ask->i.steps > 0) bw_text_gap(&text);
    switch (ask->i.stage) {
    case BW_STAGE_COMPLAINT:
        bw_text_para(&text,
                     "What is wrong? Say it in your own words (list: what there is to choose "
                     "from; help: what can be typed).");
        break;
    case BW_STAGE_WHICH: ask_which(ask, &text); break;
    case BW_STAGE_MORE:
        bw_text_para(&text, "Anything else wrong with panels, belts, dust or machine? Say it, or "
                            "Enter if not.");
        break;
    default:
        if (next->kind == BW_NEXT_SPECIALIST)
            ask_specialist(ask, &text);
        else
            ask_check(ask, &text, next->which);
    }
    prompt(&text);
    return write(ask, &text, err);
}

bool bw_ask_text_how(struct bw_ask *ask, struct bw_err *err) {
    struct bw_text text = begin(ask);
    const struct bw_next *next = bw_interview_next(&ask->i);
    text.indent = 3;
    if (next->kind == BW_NEXT_CHECK)
        bw_text_para(&text, "%s", ask->knowledge->check[next->which].how);
    else if (next->kind == BW_NEXT_REMEDY)
        bw_text_para(&text, "%s", ask->knowledge->remedy[next->which].how);
    else
        bw_text_para(&text, "Take the answers so far along.");
    return write(ask, &text, err);
}

bool bw_ask_text_why(struct bw_ask *ask, struct bw_err *err) {
    struct bw_text text = begin(ask);
    const struct bw_next *next = bw_interview_next(&ask->i);
    text.indent = 3;
    if (next->kind == BW_NEXT_CHECK) {
        bw_text_para(&text, "Yes (%s) would point to: %s.", bw_text_odds(&text, next->chance),
                     network_cause(ask, next->yes_cause));
        bw_text_para(&text, "No would point to: %s.", network_cause(ask, next->no_cause));
    } else if (next->kind == BW_NEXT_REMEDY) {
        bw_text_para(&text, "Trying it costs less than asking on; it ends the fault %s.",
                     bw_text_odds(&text, next->chance));
    }
    if (next->saves > 1)
        bw_text_para(&text,
                     "Against repairing by trial from here it saves about %.0f min on average.",
                     next->saves);
    for (size_t o = 1; o < ask->i.options.n && o < 3; o++) {
        const struct bw_next *other = &ask->i.options.items[o];
        if (other->kind == BW_NEXT_CHECK)
            bw_text_para(&text, "Next best: %s", ask->knowledge->check[other->which].question);
        if (other->kind == BW_NEXT_REMEDY)
            bw_text_para(&text, "Next best: %s.", ask->knowledge->remedy[other->which].name);
    }
    return write(ask, &text, err);
}

bool bw_ask_text_help(struct bw_ask *ask, struct bw_err *err) {
    struct bw_text text = begin(ask);
    bw_text_para(
        &text,
        "y, n, ? or skip (don't know, go on), a reading with its unit; y 2 says yes and names "
        "head 2. how: how it is done. why: what the answer would tell. now: where it stands. "
        "undo: take back the last answer. list: symptoms to choose from. stop: end here.");
    return write(ask, &text, err);
}

bool bw_ask_text_alarm(struct bw_ask *ask, size_t check, struct bw_err *err) {
    struct bw_text text = begin(ask);
    if (ask->knowledge->check[check].alarm == NULL) return true;
    text.indent = 3;
    bw_text_caution(&text, "%s", ask->knowledge->check[check].alarm);
    return write(ask, &text, err);
}

// ---- where it stands ----

static const char *on_head(const struct bw_ask *ask, struct bw_text *text, size_t head) {
    if (head == 0) return "";
    const char *name = ask->i.c.network->features.head_name[head - 1];
    const char *words = name == NULL
                            ? bw_arena_format(text->arena, ", on head %zu", head)
                            : bw_arena_format(text->arena, ", on head %zu (%s)", head, name);
    return words == NULL ? "" : words;
}

static void headline(const struct bw_ask *ask, struct bw_text *text, const struct bw_verdict *v) {
    const struct bw_verdict_cause *first = &v->causes[0];
    const char *sure =
        first->probability > 0.45 ? "Most likely" : "Not clear yet; first of several";
    bw_text_para(text, "%s: %s%s. So in %s such calls.", sure, bw_ask_cause(ask, first->cause),
                 on_head(ask, text, first->head), bw_text_odds(text, first->probability));
    if (first->cause != BW_NO_INDEX)
        bw_text_para(text, "%s", ask->knowledge->cause[first->cause].plain);
}

static void other_causes(const struct bw_ask *ask, struct bw_text *text,
                         const struct bw_verdict *v) {
    if (v->n_causes < 2) return;
    bw_text_heading(text, "It could also be");
    for (size_t c = 1; c < v->n_causes; c++)
        bw_text_item(text, "- ", "%s%s: %s", bw_ask_cause(ask, v->causes[c].cause),
                     on_head(ask, text, v->causes[c].head),
                     bw_text_odds(text, v->causes[c].probability));
}

// The question of a row and what was answered, in few words.
static const char *said(const struct bw_ask *ask, struct bw_text *text, size_t row,
                        const struct bw_reply *reply) {
    const struct bw_knowledge *k = ask->knowledge;
    const char *words = NULL;
    if (row >= k->checks) {
        size_t remedy = (row - k->checks) % k->remedies;
        bool helped = row >= k->checks + k->remedies;
        words = bw_arena_format(text->arena, "%s: %s", k->remedy[remedy].name,
                                !helped            ? "the fault stayed"
                                : reply->yes > 0.5 ? "it helped a little"
                                                   : "it did not help");
    } else if (reply->kind == BW_REPLY_RATIO || reply->from != NULL) {
        bool yes = reply->kind == BW_REPLY_RATIO ? reply->ratio > 1 : reply->yes > 0.5;
        words = bw_arena_format(text->arena, "measured (%s): %s", reply->from,
                                yes ? k->check[row].yes : k->check[row].no);
    } else {
        bool yes = reply->yes > 0.5;
        words = bw_arena_format(text->arena, "%s %s", k->check[row].question,
                                yes ? k->check[row].yes : k->check[row].no);
    }
    return words == NULL ? "?" : words;
}

static void reasons(const struct bw_ask *ask, struct bw_text *text, const char *heading,
                    const struct bw_verdict_reason *list, size_t n) {
    if (n == 0) return;
    bw_text_heading(text, "%s", heading);
    for (size_t r = 0; r < n; r++)
        bw_text_item(text, "- ", "%s",
                     said(ask, text, list[r].row, &ask->i.c.replies[list[r].reply]));
}

static void conflict(const struct bw_ask *ask, struct bw_text *text, const struct bw_verdict *v) {
    if (v->odd == BW_NO_INDEX) return;
    const struct bw_reply *reply = bw_case_reply_to(&ask->i.c, v->odd);
    bw_text_heading(text, "One answer does not fit the others");
    bw_text_para(text, "%s. Worth asking again; else two things are wrong at once.",
                 said(ask, text, v->odd, reply));
}

static void turns(const struct bw_ask *ask, struct bw_text *text, const struct bw_verdict *v) {
    if (v->n_turns == 0) return;
    bw_text_heading(text, "What would change this");
    for (size_t t = 0; t < v->n_turns; t++) {
        const struct bw_verdict_turn *turn = &v->turns[t];
        const struct bw_known_check *check = &ask->knowledge->check[turn->row];
        if (turn->answered)
            bw_text_item(text, "- ", "%s Were that answered wrong: %s.", check->question,
                         bw_ask_cause(ask, turn->cause));
        else
            bw_text_item(text, "- ", "%s If %s (about %.0f min): %s.", check->question,
                         turn->yes ? "yes" : "no", turn->minutes, bw_ask_cause(ask, turn->cause));
    }
}

static void list_remedies(const struct bw_ask *ask, struct bw_text *text, const char *heading,
                          const struct bw_list *list, size_t most) {
    const struct bw_advice *advice = list->items;
    size_t told = 0;
    for (size_t i = 0; i < list->n && told < most; i++) {
        const struct bw_known_remedy *r = &ask->knowledge->remedy[advice[i].remedy];
        if (advice[i].chance < WORTH_NAMING) continue;
        if (told++ == 0) bw_text_heading(text, "%s", heading);
        const char *mark = bw_arena_format(text->arena, "%zu. ", told);
        bw_text_item(text, mark == NULL ? "" : mark, "%s: ends it %s; by %s, about %.0f min%s",
                     r->name, bw_text_odds(text, advice[i].chance), who(r), r->minutes.v / 60,
                     r->lead > 0 ? ", not at once" : "");
        text->indent += 3;
        if (r->kind == BW_STOP_GAP)
            bw_text_para(text, "%s Costs: %s. May stand: %s.", r->how, r->costs_output,
                         r->may_stand);
        if (r->lead > 0) days(text, r);
        bw_text_caution(text, "%s", r->caution);
        text->indent -= 3;
    }
}

bool bw_ask_text_verdict(struct bw_ask *ask, struct bw_err *err) {
    struct bw_arena *work = bw_arena_new(0);
    struct bw_verdict v;
    if (work == NULL) return bw_fail_memory(err);
    bool found = bw_verdict_find(&ask->i.c, &ask->i.options, work, &v, err);
    struct bw_text text = begin(ask);
    if (found) {
        bw_text_gap(&text);
        headline(ask, &text, &v);
        other_causes(ask, &text, &v);
        reasons(ask, &text, "What speaks for it", v.speaks_for, v.n_for);
        reasons(ask, &text, "What speaks against it", v.speaks_against, v.n_against);
        conflict(ask, &text, &v);
        turns(ask, &text, &v);
        list_remedies(ask, &text, "Tonight, to keep running", &v.stop_gaps, MOST_STOP_GAPS);
        list_remedies(ask, &text, "For good, in this order", &v.cures, MOST_CURES);
        if (v.left_out > 0.05)
            bw_text_para(&text, "More than three things wrong at once: up to %s.",
                         bw_text_odds(&text, v.left_out));
        found = write(ask, &text, err);
    }
    bw_arena_free(work);
    return found;
}

// ---- the end ----

static void proof(struct bw_text *text) {
    bw_text_heading(text, "Proof to keep");
    bw_text_item(text, "- ",
                 "The last bad panel and the first good one, photographed in the same low "
                 "light, with date, head, belt print and settings written beside them.");
    bw_text_item(text, "- ", "What was changed, and that nothing else was changed with it.");
}

static void cured(const struct bw_ask *ask, struct bw_text *text) {
    const struct bw_known_remedy *r = &ask->knowledge->remedy[ask->i.cured_by];
    bw_text_para(
        text, "Mended by: %s%s%s.", r->name, ask->i.cured_second == BW_NO_INDEX ? "" : " or ",
        ask->i.cured_second == BW_NO_INDEX ? "" : ask->knowledge->remedy[ask->i.cured_second].name);
    struct bw_culprit culprit = bw_interview_culprit(&ask->i);
    bw_text_para(text, "It was, then: %s; so in %s such calls.", bw_ask_cause(ask, culprit.cause),
                 bw_text_odds(text, culprit.probability));
    bw_text_para(text, "To be sure of it: %s", r->verify);
    proof(text);
}

bool bw_ask_text_end(struct bw_ask *ask, struct bw_err *err) {
    struct bw_text text = begin(ask);
    bw_text_gap(&text);
    if (ask->i.ending == BW_ENDING_CURED) {
        cured(ask, &text);
        return write(ask, &text, err);
    }
    if (ask->i.work == NULL) {
        bw_text_para(&text, "Nothing was said yet, so there is nothing to conclude.");
        return write(ask, &text, err);
    }
    bw_buffer_free(&text.out);
    bool told = ask->i.ending == BW_ENDING_STOPPED && ask->i.options.n > 0 &&
                bw_interview_next(&ask->i)->kind == BW_NEXT_REMEDY;
    if (!told && !bw_ask_text_verdict(ask, err)) return false;
    text = begin(ask);
    proof(&text);
    return write(ask, &text, err);
}
