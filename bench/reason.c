// reason.c - how long the posterior and the next step take with fifteen answers in.
// SPDX-License-Identifier: GPL-3.0-or-later
//
//   bench_reason [--rounds N] [--dump FILE] [--goal MS]
//
// The answers are drawn: a first complaint with its unsaid symptoms, then fifteen answers to what
// the program itself asked, each as the likeliest cause would have it. --dump writes the network
// and the answers for bench/reason.py, which enumerates the same sets with numpy.
#include "reason/case.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define ANSWERS 15
#define SETS 1000

static double now_ms(void) {
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static void must(bool done, const struct bw_err *err) {
    if (done) return;
    fprintf(stderr, "bench_reason: %s\n", err->what);
    exit(1);
}

// Fifteen answers on top of the intake; even ones yes where yes is likelier than not.
static void answer(struct bw_case *c) {
    struct bw_err err = {0};
    const struct bw_knowledge *k = c->network->knowledge;
    must(bw_case_reply(c, bw_reply_graded(bw_check_find(k, "chatter"), 1), &err), &err);
    must(bw_case_intake_done(c, &err), &err);
    for (size_t given = 0; given < ANSWERS; given++) {
        struct bw_arena *work = bw_arena_new(0);
        struct bw_thought thought;
        struct bw_options options;
        must(bw_case_think(c, BW_NO_INDEX, SETS, work, &thought, &err), &err);
        must(bw_case_next(c, &thought, 12, work, &options, &err), &err);
        size_t at = 0;
        while (at + 1 < options.n && options.items[at].kind != BW_NEXT_CHECK) at++;
        size_t check = options.items[at].which;
        if (options.items[at].kind != BW_NEXT_CHECK)  // it would repair by now; ask all the same
            for (check = 0; !bw_case_open(c, check);) check++;
        must(bw_case_reply(c, bw_reply_graded(check, given % 3 == 0 ? 0 : 1), &err), &err);
        bw_arena_free(work);
    }
}

static void numbers(FILE *to, const char *key, const double *values, size_t n, const char *end) {
    fprintf(to, "\"%s\": [", key);
    for (size_t i = 0; i < n; i++) fprintf(to, "%s%.17g", i == 0 ? "" : ", ", values[i]);
    fprintf(to, "]%s\n", end);
}

static void dump(const struct bw_case *c, const struct bw_thought *thought, const char *name) {
    const struct bw_net *net = &c->network->net;
    struct bw_answer answers[BW_MAX_REPLIES];
    size_t n = bw_case_answers(c, BW_NO_INDEX, answers);
    FILE *to = fopen(name, "w");
    if (to == NULL) exit(1);
    fprintf(to, "{\n");
    numbers(to, "odds", net->odds, net->causes, ",");
    fprintf(to, "\"answers\": [\n");
    for (size_t i = 0; i < n; i++) {
        fprintf(to, "{\"yes\": %.17g, \"no\": %.17g, \"quiet\": %.17g, ", answers[i].if_yes,
                answers[i].if_no, net->quiet[answers[i].check]);
        numbers(to, "miss", net->miss + answers[i].check * net->causes, net->causes,
                i + 1 < n ? "}," : "}");
    }
    fprintf(to, "],\n");
    numbers(to, "posterior", thought->belief.cause, net->causes, "}");
    (void)fclose(to);
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static unsigned long number_of(const char *text) {
    char *end;
    unsigned long n = strtoul(text, &end, 10);
    if (*end == '\0' && end != text) return n;
    fprintf(stderr, "bench_reason: not a number: %s\n", text);
    exit(2);
}

int main(int argc, char **argv) {
    size_t rounds = 21;
    double goal = 50;
    const char *file = NULL;
    for (int i = 1; i + 1 < argc; i += 2) {
        if (strcmp(argv[i], "--rounds") == 0) rounds = number_of(argv[i + 1]);
        if (strcmp(argv[i], "--goal") == 0) goal = (double)number_of(argv[i + 1]);
        if (strcmp(argv[i], "--dump") == 0) file = argv[i + 1];
    }
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_knowledge k;
    struct bw_features none = bw_features_none();
    struct bw_network network;
    struct bw_case c;
    struct bw_err err = {0};
    must(bw_knowledge_load(arena, NULL, 0, NULL, &k, &err), &err);
    const struct bw_network_from from = {&k, &none, NULL};
    must(bw_network_make(&from, arena, &network, &err), &err);
    must(bw_case_begin(&network, arena, &c, &err), &err);
    answer(&c);
    double *think = calloc(rounds, sizeof *think), *both = calloc(rounds, sizeof *both);
    if (think == NULL || both == NULL) return 1;
    for (size_t r = 0; r < rounds; r++) {
        struct bw_arena *work = bw_arena_new(0);
        struct bw_thought thought;
        struct bw_options options;
        double begin = now_ms();
        must(bw_case_think(&c, BW_NO_INDEX, SETS, work, &thought, &err), &err);
        think[r] = now_ms() - begin;
        must(bw_case_next(&c, &thought, 4, work, &options, &err), &err);
        both[r] = now_ms() - begin;
        if (r == 0 && file != NULL) dump(&c, &thought, file);
        bw_arena_free(work);
    }
    qsort(think, rounds, sizeof *think, by_size);
    qsort(both, rounds, sizeof *both, by_size);
    printf("causes %zu, answers %d and the unsaid symptoms, rounds %zu\n", network.net.causes,
           ANSWERS, rounds);
    printf("posterior            median %.2f ms (quartiles %.2f to %.2f)\n", think[rounds / 2],
           think[rounds / 4], think[3 * rounds / 4]);
    printf("posterior, next step median %.2f ms (quartiles %.2f to %.2f), goal %.0f ms: %s\n",
           both[rounds / 2], both[rounds / 4], both[3 * rounds / 4], goal,
           both[rounds / 2] <= goal ? "met" : "not met");
    free(think);
    free(both);
    bw_arena_free(arena);
    return 0;
}
