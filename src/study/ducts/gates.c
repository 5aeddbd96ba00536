// gates.c - every setting of the gates, and the largest sets that may be open together.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A set may be open together if every open port with a least flow has it and no line in use is
// slower than dust needs; ports of one machine are open or shut as one. Settings follow each other
// by one gate (Gray's code), so that each solve starts close to its answer; only the values of the
// sparse equations change.
#include "study/ducts/part.h"

#include <math.h>

#define MOST_GATES 12
#define MOST_ROWS 40

static bool is_fine(const struct ducts_work *w, struct ducts_state state) {
    return state.slowest >= 0 && !(state.share < 1) && state.velocity >= w->out->transport.v;
}

static const char *names_of(struct ducts_work *w, unsigned set) {
    const char *names = "";
    for (int g = 0; g < w->model->n_gates; g++)
        if (set >> g & 1)
            names = ducts_say(w, "%s%s%s", names, names[0] == '\0' ? "" : " + ",
                              w->model->runs[w->model->gates[g]].name);
    return names;
}

static struct ducts_setting_row row_of(struct ducts_work *w, unsigned set,
                                       struct ducts_state state) {
    const struct ducts_run *runs = w->model->runs;
    return (struct ducts_setting_row){names_of(w, set),
                                      state.worst < 0 ? NULL : runs[state.worst].name,
                                      runs[state.slowest].name,
                                      {state.share, BW_NAN, -1},
                                      bw_exactly(state.velocity)};
}

// No larger set that is fine holds this one.
static bool is_largest(const bool *fine, unsigned n, unsigned set, unsigned together) {
    if (!(set & together) && together != 0 && fine[set | together]) return false;
    for (unsigned bit = 1; bit < n; bit <<= 1)
        if (!(set & bit) && fine[set | bit]) return false;
    return true;
}

// An open gate stands as the file has it; one that is shut there is tried wide open.
static void set_gates(struct ducts_work *w, unsigned set, const double *open) {
    for (int g = 0; g < w->model->n_gates; g++)
        ducts_gate_set(w->model, w->model->gates[g], set >> g & 1 ? open[g] : 0);
}

static bool cancelled(const struct ducts_work *w, struct bw_err *err) {
    if (w->run->cancel == NULL || !atomic_load(w->run->cancel)) return false;
    bw_fail(err, BW_CANCELLED, "stopped on request");
    return true;
}

bool ducts_settings(struct ducts_work *w, struct bw_err *err) {
    int gates = w->model->n_gates;
    if (w->in->settings == 0 || gates == 0 || gates > MOST_GATES) return true;
    unsigned n = 1u << gates;
    bool *fine = ducts_array(w, n, sizeof *fine);
    struct ducts_state *states = ducts_array(w, n, sizeof *states);
    struct ducts_setting_row *rows = ducts_array(w, MOST_ROWS, sizeof *rows);
    double *open = ducts_array(w, (size_t)gates, sizeof *open);
    if (w->failed) return bw_fail_memory(err);
    for (int g = 0; g < gates; g++) {
        double as_is = w->model->runs[w->model->gates[g]].open;
        open[g] = as_is > DUCTS_SHUT ? as_is : 1;
    }
    unsigned together = 0;
    for (int g = 0; g < gates; g++)
        together |= (unsigned)w->model->runs[w->model->gates[g]].together << g;
    size_t tried = 0;
    for (unsigned i = 1; i < n; i++) {
        unsigned set = i ^ i >> 1;
        bool split = (set & together) != 0 && (set & together) != together;
        if (split) continue;
        tried++;
        if (cancelled(w, err)) return false;
        set_gates(w, set, open);
        if (!ducts_solve(w->model, err)) return false;
        states[set] = ducts_state(w);
        fine[set] = is_fine(w, states[set]);
    }
    size_t kept = 0;
    // More machines first.
    for (int size = gates; size > 0; size--)
        for (unsigned set = 1; set < n && kept < MOST_ROWS; set++)
            if (__builtin_popcount(set) == size && fine[set] && is_largest(fine, n, set, together))
                rows[kept++] = row_of(w, set, states[set]);
    w->out->settings = (struct bw_list){rows, kept};
    w->out->tried = bw_exactly((double)tried);
    return w->failed ? bw_fail_memory(err) : true;
}
