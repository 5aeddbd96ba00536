// job.c - `beltwright job`: what the commands that work on jobs share.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/job.h"

#include "base/number.h"
#include "base/suggest.h"

#include <ctype.h>
#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

// ---- time ---------------------------------------------------------------------------------------

// Days since 1970-01-01 in the Gregorian calendar: Howard Hinnant, "chrono-compatible low-level
// date algorithms", days_from_civil.
static int64_t days_of(long year, long month, long day) {
    year -= month <= 2;
    long era = (year >= 0 ? year : year - 399) / 400, in_era = year - era * 400;
    long in_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    return (int64_t)era * 146097 + in_era * 365 + in_era / 4 - in_era / 100 + in_year - 719468;
}

static int64_t seconds_of(const struct tm *tm) {
    return days_of(tm->tm_year + 1900L, tm->tm_mon + 1L, tm->tm_mday) * 86400 + tm->tm_hour * 3600 +
           tm->tm_min * 60 + tm->tm_sec;
}

static int offset_at(time_t when) {
    struct tm here;
    if (localtime_r(&when, &here) == NULL) return 0;
    return (int)((seconds_of(&here) - (int64_t)when) / 60);
}

// Digits of "2026-03-14 09:05"; the time of day may be left out.
static bool clock_parts(const char *text, long parts[5]) {
    static const struct {
        size_t at, length;
        long min, max;
    } PARTS[5] = {{0, 4, 1970, 9999}, {5, 2, 1, 12}, {8, 2, 1, 31}, {11, 2, 0, 23}, {14, 2, 0, 59}};
    size_t length = strlen(text);
    struct bw_err ignored = {0};
    if ((length != 10 && length != 16) || text[4] != '-' || text[7] != '-') return false;
    if (length == 16 && ((text[10] != ' ' && text[10] != 'T') || text[13] != ':')) return false;
    parts[3] = 12;
    parts[4] = 0;
    for (size_t i = 0; i < (length == 10 ? 3 : 5); i++)
        if (!bw_count(text + PARTS[i].at, PARTS[i].length, PARTS[i].min, PARTS[i].max, &parts[i],
                      &ignored))
            return false;
    return true;
}

static bool read_clock(const char *text, struct bw_desk *desk) {
    long parts[5];
    if (!clock_parts(text, parts)) {
        bw_err_within(desk->err, "--at");
        bw_err_value(desk->err, text);
        bw_err_mend(desk->err, "write it as 2026-03-14 or \"2026-03-14 09:05\"");
        return bw_fail(desk->err, BW_INPUT, "needs a date, with a time of day or without");
    }
    int64_t local = days_of(parts[0], parts[1], parts[2]) * 86400 + parts[3] * 3600 + parts[4] * 60;
    desk->offset_min = offset_at((time_t)local);
    desk->now_ms = (local - 60 * (int64_t)desk->offset_min) * 1000;
    return true;
}

static bool set_clock(struct bw_desk *desk) {
    const char *at = bw_given_value(desk->given, "at");
    if (at != NULL) return read_clock(at, desk);
    struct timespec now;
    if (clock_gettime(CLOCK_REALTIME, &now) != 0 || now.tv_sec < 0)
        return bw_fail(desk->err, BW_FAILED, "this device has no clock");
    desk->now_ms = (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
    desk->offset_min = offset_at(now.tv_sec);
    return true;
}

// ---- the desk -----------------------------------------------------------------------------------

bool bw_desk_run(struct bw_cli *cli, const struct bw_arguments *given,
                 bool (*work)(struct bw_desk *desk), const void *with, struct bw_err *err) {
    struct bw_desk desk = {
        .cli = cli, .given = given, .err = err, .json = bw_given(given, "json"), .with = with};
    if (!bw_units_choose(bw_given_value(given, "units"), &desk.units, err)) {
        bw_err_within(err, "--units");
        return false;
    }
    if (!set_clock(&desk)) return false;
    if (!bw_store_open(bw_given_value(given, "store"), &desk.store, err)) return false;
    bool done = work(&desk);
    bw_store_close(desk.store);
    return done;
}

// ---- names --------------------------------------------------------------------------------------

static bool too_short(struct bw_desk *desk, const char *what, const char *word) {
    bw_err_value(desk->err, word);
    bw_err_mend(desk->err, "give its name, or the last four or more letters of it");
    return bw_fail(desk->err, BW_INPUT, "this does not name %s", what);
}

static const char *name_of(struct bw_desk *desk, const char *word) {
    size_t length = strlen(word);
    char *name = bw_arena_text(desk->cli->arena, word, length);
    for (size_t i = 0; name != NULL && i < length; i++)
        name[i] = (char)toupper((unsigned char)name[i]);
    return length >= 4 && length < BW_ID_TEXT ? name : NULL;
}

static bool several(struct bw_desk *desk, const char *word, const struct bw_job_rows *rows) {
    bw_err_value(desk->err, word);
    bw_err_mend(desk->err, "%s (%s) or %s (%s)?", bw_short(rows->items[0].job) - 4,
                rows->items[0].title, bw_short(rows->items[1].job) - 4, rows->items[1].title);
    return bw_fail(desk->err, BW_INPUT, "several jobs end so; give more letters");
}

bool bw_desk_find(struct bw_desk *desk, const char *word, char job[BW_ID_TEXT]) {
    struct bw_job_query query = {.most = 2};
    struct bw_job_rows rows;
    bool last = strcmp(word, "last") == 0;
    if (!last) {
        query.ending = name_of(desk, word);
        if (query.ending == NULL) return too_short(desk, "a job", word);
    }
    if (!bw_store_list(desk->store, &query, desk->cli->arena, &rows, desk->err)) return false;
    if (rows.n == 0) {
        bw_err_value(desk->err, word);
        bw_err_mend(desk->err, last ? "open one: beltwright job new TITLE"
                                    : "beltwright job list shows the jobs there are");
        return bw_fail(desk->err, BW_NOT_FOUND,
                       last ? "there are no jobs yet" : "there is no such job");
    }
    if (rows.n > 1 && !last) return several(desk, word, &rows);
    memcpy(job, rows.items[0].job, BW_ID_TEXT);
    return true;
}

bool bw_desk_job(struct bw_desk *desk, struct bw_entries *set, struct bw_job *out) {
    char job[BW_ID_TEXT];
    return bw_desk_find(desk, bw_given_value(desk->given, "job"), job) &&
           bw_store_get(desk->store, job, desk->cli->arena, set, desk->err) &&
           bw_job_replay(desk->cli->arena, set, out, desk->err);
}

bool bw_desk_line(struct bw_desk *desk, const struct bw_job *job, const char *word,
                  const struct bw_line **out) {
    const char *name = name_of(desk, word);
    const struct bw_line *found = NULL;
    if (name == NULL) return too_short(desk, "an entry", word);
    size_t length = strlen(name);
    for (size_t i = 0; i < job->n; i++) {
        const char *id = job->lines[i].entry->id;
        if (strcmp(id + BW_ID_TEXT - 1 - length, name) != 0) continue;
        if (found != NULL) {
            bw_err_value(desk->err, word);
            return bw_fail(desk->err, BW_INPUT, "several entries end so; give more letters");
        }
        found = &job->lines[i];
    }
    if (found == NULL) {
        bw_err_value(desk->err, word);
        bw_err_mend(desk->err, "beltwright job show %s lists its entries", bw_short(job->id));
        return bw_fail(desk->err, BW_NOT_FOUND, "there is no such entry in this job");
    }
    *out = found;
    return true;
}

// ---- writing ------------------------------------------------------------------------------------

struct bw_json bw_desk_body(struct bw_buffer *body) {
    struct bw_json json = bw_json_begin(body);
    json.one_line = true;
    bw_json_open(&json, '{');
    return json;
}

void bw_desk_text(struct bw_json *json, const char *key, const char *text) {
    if (text == NULL || text[0] == '\0') return;
    bw_json_key(json, key);
    bw_json_text(json, text);
}

bool bw_desk_write(struct bw_desk *desk, const char *job, enum bw_entry_kind kind,
                   struct bw_buffer *body, struct bw_entry *out) {
    const struct bw_draft draft = {.job = job,
                                   .time_ms = desk->now_ms,
                                   .offset_min = desk->offset_min,
                                   .kind = kind,
                                   .body = body->data};
    bool done = !body->failed
                    ? bw_store_write(desk->store, desk->cli->arena, &draft, out, desk->err)
                    : bw_fail_memory(desk->err);
    bw_buffer_free(body);
    return done;
}

bool bw_desk_correct(struct bw_desk *desk, const struct bw_entries *set, const struct bw_line *line,
                     struct bw_buffer *body, struct bw_entry *out) {
    struct bw_buffer whole = {0};
    struct bw_json json = bw_desk_body(&whole);
    bw_desk_text(&json, "of", line->entry->id);
    bw_json_key(&json, "over");
    bool done = bw_job_over(desk->cli->arena, set, line->entry->id, &json, desk->err);
    if (body != NULL) {
        bw_buffer_text(&whole, ",\"body\":");
        bw_buffer_text(&whole, body->failed ? "" : body->data);
        if (body->failed) whole.failed = true;
        bw_buffer_free(body);
    }
    bw_json_close(&json, '}');
    if (!done) {
        bw_buffer_free(&whole);
        return false;
    }
    enum bw_entry_kind kind = body == NULL ? BW_ENTRY_WITHDRAWN : BW_ENTRY_CORRECTION;
    return bw_desk_write(desk, line->entry->job, kind, &whole, out);
}

bool bw_desk_tell(struct bw_desk *desk, const struct bw_entry *entry, const char *done) {
    struct bw_buffer out = {0};
    if (desk->json) {
        struct bw_json json = bw_json_begin(&out);
        bw_json_open(&json, '{');
        bw_desk_text(&json, "shape", "job-entry/1");
        bw_desk_text(&json, "job", entry->job);
        bw_desk_text(&json, "entry", entry->id);
        bw_desk_text(&json, "kind", entry->kind);
        bw_json_close(&json, '}');
    } else {
        struct bw_text text = bw_cli_text(desk->cli, desk->units);
        bw_text_para(&text, "%s", done);
        out = text.out;
    }
    return bw_write(desk->cli, "-", &out, desk->err);
}

// ---- attachments --------------------------------------------------------------------------------

static bool next_of_file(void *with, void *to, size_t *length, struct bw_err *err) {
    size_t done = 0;
    ssize_t n = 1;
    while (done < *length && n > 0) {
        n = read(*(const int *)with, (char *)to + done, *length - done);
        if (n > 0) done += (size_t)n;
        if (n < 0 && errno == EINTR) n = 1;
    }
    *length = done;
    return n >= 0 || bw_fail(err, BW_IO, "reading the file stopped: %s", strerror(errno));
}

static bool attach(struct bw_desk *desk, const char *name, const struct bw_supply *from,
                   struct bw_json *json) {
    char sha256[BW_SHA256_TEXT];
    uint64_t size;
    if (!bw_store_attach(desk->store, from, sha256, &size, desk->err)) return false;
    bw_json_open(json, '{');
    bw_desk_text(json, "name", name);
    bw_desk_text(json, "sha256", sha256);
    bw_json_key(json, "size");
    bw_json_count(json, (long)size);
    bw_json_close(json, '}');
    return true;
}

bool bw_desk_attach_fd(struct bw_desk *desk, const char *name, int fd, struct bw_json *json) {
    const struct bw_supply source = {.with = &fd, .next = next_of_file};
    if (lseek(fd, 0, SEEK_SET) == 0) return attach(desk, name, &source, json);
    bw_err_file(desk->err, name);
    return bw_fail(desk->err, BW_INPUT, "it is no plain file and cannot be kept");
}

bool bw_desk_attach(struct bw_desk *desk, const char *path, struct bw_json *json) {
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
    if (fd < 0) {
        bw_err_file(desk->err, path);
        bw_err_mend(desk->err, "give the name of a file that this user may read");
        return bw_fail(desk->err, errno == ENOENT ? BW_NOT_FOUND : BW_IO, "it cannot be opened: %s",
                       strerror(errno));
    }
    const char *slash = strrchr(path, '/');
    bool done = bw_desk_attach_fd(desk, slash == NULL ? path : slash + 1, fd, json);
    if (!done) bw_err_file(desk->err, path);
    (void)close(fd);
    return done;
}

// ---- `job` alone --------------------------------------------------------------------------------

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    const char *verb = bw_given_value(given, "verb");
    struct bw_page page;
    if (verb == NULL)
        return bw_page_find(cli->arena, "job", &page, err) && bw_help_write(cli, &page, err);
    struct bw_words words = {.n = 0};
    const char *name;
    for (size_t i = 0; (name = bw_page_name(i)) != NULL; i++)
        if (strncmp(name, "job-", 4) == 0) bw_words_add(&words, name + 4);
    bw_err_value(err, verb);
    bw_words_mend(&words, verb, "after job comes", err);
    return bw_fail(err, BW_NOT_FOUND, "there is no such thing to do with a job");
}

static const struct bw_option OPTIONS[] = {
    {.name = "verb",
     .value = "VERB",
     .takes = BW_TAKES_CHOICE,
     .choices = "new show ask answer add fix undo close reopen list find export import merge erase "
                "recheck",
     .positional = true,
     .help = "what to do; without it, this page is printed"},
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_job = {
    .page = {.name = "job",
             .summary = "keep what was asked, measured, tried and found",
             .about = "A job is one complaint worked at one machine, from the call to the proof: a "
                      "set of entries that only grows. Nothing is overwritten: a mistake is "
                      "corrected or taken back by another entry, two devices are brought together "
                      "with merge, and only people's data can be erased.",
             .example = "beltwright job new \"bars across the grain\" --machine "
                        "examples/three-head.yaml",
             .options = OPTIONS},
    .run = run,
};
