// marks.c - the study `marks`: pitch and direction of cross marks in a photo or scan.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/marks/marks.h"

#include "machine/machine.h"
#include "study/marks/card.h"

#include "study/marks/join.h"
#include "study/marks/look.h"
#include "study/marks/signs.h"

#include <math.h>
#include <string.h>

#define COHERENT 0.45   // scratches or grain this clear settle the feed's direction
#define OFF_AXIS 0.35   // radians: further from both axes they do not
#define LEAST_SIDE 500  // pixels
#define DARK_SHARE 0.3  // of pixels as good as black or white
#define BRIGHT_SHARE 0.1
#define BLURRED 0.17  // sharpness; photos blurred by 2 pixels have 0.14, sharp ones over 0.35
#define CHANCE 0.005
#define SAME_PITCH 0.03   // two shots from about the same height
#define SAME_BANDS 0.005  // a camera's bands keep their pixels

struct work {
    struct bw_run *run;
    const struct marks_input *in;
    struct marks_frame frame;
    struct marks_look look;
    struct marks_found found;
    bool down;
    struct marks_output out;
    struct marks_sentence *mends, *notes, *next;
    bool blocks;  // the blocks of a JPEG showed
    bool failed;
};

static void *array(struct work *w, size_t n, size_t size) {
    void *items = bw_arena_array(w->run->arena, n + 1, size);
    if (items == NULL) w->failed = true;
    return items;
}

static void add(struct bw_list *list, const char *text) {
    ((struct marks_sentence *)list->items)[list->n++].text = text;
}

// --- the picture -------------------------------------------------------------------------------

static void light(struct work *w) {
    const struct marks_look *look = &w->look;
    if (look->dark > DARK_SHARE) {
        w->out.verdict = "too dark";
        add(&w->out.mends, "much of it is black: crop to the panel with --part, or bring the torch "
                           "nearer");
    } else if (look->bright > BRIGHT_SHARE) {
        w->out.verdict = "wrong light: burnt out";
        add(&w->out.mends, "part of it is pure white: turn the torch down or away, and no flash");
    }
}

static void judge(struct work *w) {
    const struct bw_picture *picture = w->frame.picture;
    size_t least = w->frame.width < w->frame.height ? w->frame.width : w->frame.height;
    w->out.verdict = "usable";
    light(w);
    if (w->look.sharpness < BLURRED) {
        w->out.verdict = "blurred";
        add(&w->out.mends, "hold the focus on the panel, rest the phone on something, 40 to 60 cm "
                           "above; fine marks are gone in this one");
    }
    if (least < LEAST_SIDE) {
        w->out.verdict = "too small";
        add(&w->out.mends, "take one of at least 1000 pixels each way, with the panel filling it");
    } else if (w->look.shrunk) {
        w->out.verdict = "shrunk";
        add(&w->out.mends, "this looks like a messenger's copy: ask for the original file, sent as "
                           "a document; fine marks are lost or false in a copy");
    }
    w->out.usable = strcmp(w->out.verdict, "usable") == 0;
    if (picture->about.flags & BW_PICTURE_MORE)
        add(&w->out.notes, "the file holds more pictures; only the first was looked at");
}

// --- which way, and the search ------------------------------------------------------------------

static double evidence(const struct marks_found *found) {
    double sum = 0;
    for (int i = 0; i < found->n; i++) sum -= found->sets[i].comb.log_chance;
    return sum;
}

// Without what the picture's file itself has put in.
static bool find(struct work *w, bool down, double chance, struct marks_found *out,
                 struct bw_err *err) {
    struct bw_rows rows = marks_frame_rows(&w->frame);
    struct marks_question question = {.down = down, .chance = chance};
    if (!marks_find(w->run->arena, &rows, &question, out, err)) return false;
    struct marks_scene scene = {&w->frame, &w->look, down};
    int kept = 0;
    for (int i = 0; i < out->n; i++) {
        if (!marks_is_jpeg(&scene, &out->sets[i].wave))
            out->sets[kept++] = out->sets[i];
        else
            w->blocks = true;
    }
    out->n = kept;
    return true;
}

static void settled(struct work *w, bool down, const char *by) {
    w->down = down;
    w->out.feed_along = down ? "y" : "x";
    w->out.feed_by = by;
    double across = down ? M_PI_2 : 0, lean = remainder(w->look.grain - across, M_PI);
    if (w->look.coherence > 0.15) w->out.grain_deg = bw_exactly(lean);
}

// Both ways; the one with more in it is the feed's, since marks lie across the feed.
static bool both_ways(struct work *w, struct bw_err *err) {
    struct marks_found x, y;
    if (!find(w, false, CHANCE / 4, &x, err) || !find(w, true, CHANCE / 4, &y, err)) return false;
    bool down = y.n > 0 && evidence(&y) > evidence(&x);
    w->found = down ? y : x;
    if (x.n > 0 || y.n > 0) settled(w, down, "taken from how the marks lie");
    if (x.n > 0 && y.n > 0)
        add(&w->out.notes,
            "something repeats the other way too; say --along x or --along y to have "
            "it looked at");
    return true;
}

static bool search(struct work *w, struct bw_err *err) {
    if (w->in->along != ALONG_AUTO) {
        settled(w, w->in->along == ALONG_Y, "as given");
        return find(w, w->down, CHANCE, &w->found, err);
    }
    double lean = fabs(w->look.grain);
    bool clear = w->look.coherence > COHERENT && (lean < OFF_AXIS || lean > M_PI_2 - OFF_AXIS) &&
                 !w->frame.warped;
    if (!clear) {
        settled(w, w->frame.height > w->frame.width, "not known: neither way shows marks");
        return both_ways(w, err);
    }
    settled(w, lean > M_PI_4, "as scratches or grain lie");
    if (!find(w, w->down, CHANCE / 2, &w->found, err)) return false;
    return w->found.n > 0 || both_ways(w, err);
}

// --- answers -----------------------------------------------------------------------------------

static struct bw_quantity in_metres(const struct work *w, double px, double sd) {
    struct bw_quantity pixel = w->frame.pixel;
    if (!bw_known(pixel)) return BW_UNKNOWN;
    return bw_about(px * pixel.v, hypot(sd * pixel.v, px * pixel.sd));
}

static double contrast(const struct bw_wave *wave) {
    double square = 0;
    for (int k = 0; k < wave->harmonics; k++) square += wave->amplitude[k] * wave->amplitude[k];
    return sqrt(square);
}

static void thirds(struct work *w, const struct bw_wave *wave, struct marks_answer *answer) {
    struct marks_third *items = array(w, 3, sizeof *items);
    if (items == NULL) return;
    for (int t = 0; t < 3; t++) {
        double p = 1 / hypot(wave->thirds[t].f, wave->g), sd = wave->thirds[t].f_sd * p * p;
        if (!(sd < 0.1 * p)) return;  // too faint to be told by thirds
        items[t] = (struct marks_third){in_metres(w, p, sd), bw_about(p, sd)};
    }
    answer->thirds = (struct bw_list){items, 3};
}

static void answer_of(struct work *w, const struct marks_set *set, struct marks_answer *answer) {
    const struct bw_wave *wave = &set->wave;
    double p = 1 / hypot(wave->f, wave->g), sd = marks_pitch_sd(wave);
    // A mark runs along u = -v g / f. Clockwise as seen: v points down where u points right, and
    // right where u points down.
    double slant = atan2(wave->g, wave->f) * (w->down ? -1 : 1);
    *answer = (struct marks_answer){.pitch = in_metres(w, p, sd),
                                    .pitch_px = bw_about(p, sd),
                                    .direction_deg = bw_about(slant, marks_slant_sd(wave)),
                                    .contrast = bw_exactly(contrast(wave)),
                                    .harmonics = wave->harmonics,
                                    .false_alarm = bw_exactly(fmax(1e-99, set->false_alarm)),
                                    .width_share = bw_exactly(fmin(1, wave->lane)),
                                    .steadiness = marks_pace_text(marks_pace_of(wave))};
    thirds(w, wave, answer);
    const char *signs[MARKS_MOST_SIGNS];
    struct marks_scene scene = {&w->frame, &w->look, w->down};
    size_t n = marks_signs(&scene, wave, signs);
    answer->signs.items = array(w, n, sizeof(struct marks_sentence));
    for (size_t i = 0; !w->failed && i < n; i++) add(&answer->signs, signs[i]);
}

// --- the second shot ---------------------------------------------------------------------------

static bool holds(const struct marks_found *found, double pitch, double within) {
    for (int i = 0; i < found->n; i++) {
        double other = 1 / hypot(found->sets[i].wave.f, found->sets[i].wave.g);
        if (fabs(log(other / pitch)) < within) return true;
    }
    return false;
}

// In the second shot the panel's marks lie the other way in the picture; the camera's own stay.
static bool compare(struct work *w, struct marks_answer *answers, struct bw_err *err) {
    if (w->in->turned.content == NULL || w->found.n == 0) return true;
    struct marks_frame frame;
    if (!marks_frame_plain(w->run->arena, w->in->turned.content, &frame, err)) return false;
    struct bw_rows rows = marks_frame_rows(&frame);
    struct marks_found same, other;
    struct marks_question question = {.down = w->down, .chance = CHANCE};
    if (!marks_find(w->run->arena, &rows, &question, &same, err)) return false;
    question.down = !w->down;
    if (!marks_find(w->run->arena, &rows, &question, &other, err)) return false;
    for (int i = 0; i < w->found.n; i++) {
        double pitch = answers[i].pitch_px.v;
        bool stays = holds(&same, pitch, SAME_BANDS), turns = holds(&other, pitch, SAME_PITCH);
        answers[i].origin = stays && !turns   ? ORIGIN_CAMERA
                            : turns && !stays ? ORIGIN_PANEL
                                              : ORIGIN_OPEN;
    }
    return true;
}

// --- words -------------------------------------------------------------------------------------

static int real_sets(const struct work *w) {
    const struct marks_answer *answers = w->out.mark_sets.items;
    int n = 0;
    for (size_t i = 0; i < w->out.mark_sets.n; i++) n += answers[i].origin != ORIGIN_CAMERA;
    return n;
}

static void advise(struct work *w) {
    int n = real_sets(w);
    if (w->blocks)
        add(&w->out.notes,
            "the blocks of the picture's own file show, 8 pixels each, and were left "
            "aside; marks of just that pitch would be, too: take the original file");
    if (!bw_known(w->frame.pixel) && n > 0)
        add(&w->out.next, "give a scale: two pencil lines square across the panel 500 mm apart, in "
                          "the picture, then --line \"x,y x,y is 500 mm\"");
    if (n > 0 && w->in->machine.name == NULL)
        add(&w->out.next, "give the machine file and the feed (--machine, --feed) and this goes on "
                          "to the part");
    if (n > 0 && w->in->turned.name == NULL)
        add(&w->out.next, "a second shot of the same place with the phone turned a quarter turn "
                          "(--turned) shows that these are the panel's marks and not the camera's");
    if (n == 0)
        add(&w->out.next, "if the eye sees marks: one torch lying on the panel, shining along the "
                          "feed, the room dark; or drag a crayon flat over the face with a hard "
                          "block, and photograph that");
}

static const char *sentence(struct work *w) {
    int n = real_sets(w);
    const struct marks_answer *answers = w->out.mark_sets.items;
    if (n == 0 && w->found.n > 0) return "Only the camera's own bands, no marks on the panel.";
    if (n == 0) return "No repeating marks across the feed.";
    if (n > 1) return "Several sets of repeating marks across the feed.";
    return answers[0].harmonics >= 4 ? "One set of narrow repeating marks across the feed."
                                     : "One set of repeating marks across the feed.";
}

static bool lists(struct work *w) {
    w->out.mends.items = array(w, 6, sizeof(struct marks_sentence));
    w->out.notes.items = array(w, 6, sizeof(struct marks_sentence));
    w->out.next.items = array(w, 6, sizeof(struct marks_sentence));
    w->out.mark_sets.items = array(w, MARKS_MOST_SETS, sizeof(struct marks_answer));
    return !w->failed;
}

static bool keep_drawing(struct work *w) {
    struct marks_drawing *drawing = bw_arena_get(w->run->arena, sizeof *drawing);
    if (drawing == NULL) return false;
    *drawing = (struct marks_drawing){w->frame, w->found, w->down};
    w->out.drawing = drawing;
    return true;
}

// Something was said of a photo that was not given.
static bool lacks_photo(const struct marks_input *in) {
    return in->picture.name == NULL &&
           (in->lines.n > 0 || in->rectangles.n > 0 || in->rulers.n > 0 || in->bank_card != NULL ||
            bw_known(in->dpi) || in->machine.name != NULL || in->turned.name != NULL ||
            in->part != NULL || bw_known(in->known_pitch));
}

static bool run(struct bw_run *run_, const void *in, void *out, struct bw_err *err) {
    struct work w = {.run = run_, .in = in};
    bw_record_clear(&marks_output_record, &w.out);
    if (lacks_photo(w.in)) {
        bw_err_within(err, "picture");
        bw_err_mend(err, "give its name first: JPEG, PNG, TIFF or HEIC");
        return bw_fail(err, BW_INPUT, "is missing: give the photo these are for");
    }
    if (w.in->picture.name == NULL || w.in->card == BW_YES) {
        w.out.answer = "Take the photo by this card.";
        w.out.card = marks_card();
        *(struct marks_output *)out = w.out;
        return true;
    }
    if (!lists(&w)) return bw_fail_memory(err);
    if (!marks_frame_make(run_->arena, w.in, &w.frame, err) ||
        !marks_look(w.frame.picture, &w.look, err))
        return false;
    marks_correct(w.in, &w.frame);
    judge(&w);
    if (!search(&w, err)) {
        bw_err_file(err, w.in->picture.name);
        return false;
    }
    struct marks_answer *answers = w.out.mark_sets.items;
    for (int i = 0; i < w.found.n; i++) answer_of(&w, &w.found.sets[i], &answers[i]);
    w.out.mark_sets.n = (size_t)w.found.n;
    w.out.pixel = w.frame.pixel;
    w.out.scale_by = w.frame.scale_by;
    if (w.failed || !keep_drawing(&w)) return bw_fail_memory(err);
    if (!compare(&w, answers, err)) return false;
    if (w.in->machine.content != NULL && !marks_join(run_, w.in, w.frame.pitch_way, &w.out, err))
        return false;
    marks_check_scale(w.in, &w.out);
    w.out.answer = sentence(&w);
    advise(&w);
    *(struct marks_output *)out = w.out;
    return true;
}

const struct bw_study bw_study_marks = {
    .name = "marks",
    .summary = "pitch and direction of cross marks in a photo, and the part that left them",
    .about =
        "Looks for marks that repeat along the feed, such as a splice, a drum or the feed's drive "
        "leave, even where the eye hardly sees them, and gives pitch, direction and how evenly "
        "they "
        "run, each with its ±. A picture that is blurred, shrunk, burnt out or too small is said "
        "to "
        "be so first. With a machine file and the feed the answer goes on to the part.\n\n"
        "Scale: two pencil lines on the face 500 mm apart are the best (--line); a rectangle of "
        "known size or a bank card (--rectangle, --bank-card) also takes out a slanted view; a "
        "ruler (--ruler) lies above the face and is worth less; a scan has its dots per inch. "
        "Places are x,y in pixels from the top left.\n\n"
        "What a plain board shows by itself, growth rings, pores, knots, is the floor the marks "
        "must rise above; the chance of a false alarm stands beside each set. A lamp's flicker and "
        "the camera make bands too: a second shot with the phone turned a quarter turn (--turned) "
        "tells them from the panel's marks. How deep a mark is cannot be told from one photo, and "
        "is not said.",
    .example =
        "beltwright marks examples/photos/three-head-splice.jpg --line \"78,20 1562,20 is 500 "
        "mm\" --machine examples/three-head.yaml --feed \"24 ft/min by watch\"",
    .in = &marks_input_record,
    .out = &marks_output_record,
    .shape = 1,
    .heavy = true,
    .run = run,
    .text = marks_text,
    .plots = marks_plots,
    .findings = marks_findings,
};
