// numbers.c - a text file of samples: one line a moment, one column a channel, perhaps with times.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Columns are separated by commas, semicolons, tabs or blanks, the same throughout. Lines that
// begin with # are left out. A first line of words names the columns; one named "time" (or t,
// "time_s", "time_ms") gives the rate and is no channel. Without it the rate is not known.
#include "base/number.h"
#include "read/sound/decode.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#define MOST_COLUMNS (BW_MAX_SOUND_CHANNELS + 1)

struct reader {
    struct job *job;
    struct bw_err *err;
    uint64_t at;  // in the file, after the buffer
    char buffer[1 << 16];
    size_t have, used;  // of the buffer
    char line[BW_MAX_SOUND_LINE + 1];
    size_t length;
    long number;         // of the line
    char separator;      // '\0': not known yet; ' ': blanks
    size_t columns;      // 0: not known yet
    size_t times;        // its column, MOST_COLUMNS: none
    double unit;         // seconds of one of its units
    double first, last;  // times
    double longest;      // step
    long longest_line;
    size_t frames, most;  // taken, and room for
};

struct cell {
    const char *text;
    size_t length;
};

static bool refuse(struct reader *r, const char *what) {
    return bw_fail(r->err, BW_INPUT, "line %ld %s", r->number, what);
}

static int next_byte(struct reader *r) {
    if (r->used == r->have) {
        r->have = file_read(r->at, r->buffer, sizeof r->buffer);
        r->at += r->have;
        r->used = 0;
        if (r->have == 0) return -1;
    }
    return (unsigned char)r->buffer[r->used++];
}

// The next line without its end. False: the file has ended, or err says why not.
static bool next_line(struct reader *r) {
    int c = next_byte(r);
    if (c < 0) return false;
    r->number++;
    for (r->length = 0; c >= 0 && c != '\n'; c = next_byte(r)) {
        if (c == '\r') continue;
        if (r->length == BW_MAX_SOUND_LINE) return refuse(r, "is too long for a row of samples");
        r->line[r->length++] = (char)c;
    }
    r->line[r->length] = '\0';
    return true;
}

static bool blank(char c) { return c == ' ' || c == '\t'; }

// What separates the cells, told from the first row.
static char separator_of(const char *line) {
    if (strchr(line, ';') != NULL) return ';';
    if (strchr(line, '\t') != NULL) return '\t';
    return strchr(line, ',') != NULL ? ',' : ' ';
}

// The cells of the line, trimmed; MOST_COLUMNS + 1: too many.
static size_t split(struct reader *r, struct cell *cells) {
    size_t n = 0;
    const char *p = r->line, *end = r->line + r->length;
    for (;;) {
        while (p < end && blank(*p) && *p != r->separator) p++;
        if (r->separator == ' ' && p == end) return n;
        const char *stop = p;
        while (stop < end && *stop != r->separator && !(r->separator == ' ' && blank(*stop)))
            stop++;
        const char *last = stop;
        while (last > p && blank(last[-1])) last--;
        if (n == MOST_COLUMNS) return MOST_COLUMNS + 1;
        cells[n++] = (struct cell){p, (size_t)(last - p)};
        if (stop == end) return n;
        p = stop + 1;
    }
}

static bool names_time(struct cell cell, double *unit) {
    static const struct {
        const char *name;
        double unit;
    } NAMES[] = {
        {"t", 1},        {"s", 1},     {"time", 1},       {"time_s", 1},       {"time [s]", 1},
        {"time (s)", 1}, {"ms", 1e-3}, {"time_ms", 1e-3}, {"time [ms]", 1e-3}, {"time (ms)", 1e-3},
        {"seconds", 1}};
    if (cell.length >= 2 && cell.text[0] == '"')
        cell = (struct cell){cell.text + 1, cell.length - 2};
    for (size_t i = 0; i < sizeof NAMES / sizeof NAMES[0]; i++) {
        if (strlen(NAMES[i].name) != cell.length ||
            strncasecmp(NAMES[i].name, cell.text, cell.length) != 0)
            continue;
        *unit = NAMES[i].unit;
        return true;
    }
    return false;
}

static bool is_number(struct cell cell) {
    struct bw_err ignored = {0};
    double v;
    return bw_number(cell.text, cell.length, &v, &ignored);
}

// The first row says how many columns there are and, in words, which holds the times. True: it was
// words.
static bool take_titles(struct reader *r, const struct cell *cells, size_t n) {
    r->columns = n;
    r->times = MOST_COLUMNS;
    for (size_t i = 0; i < n; i++)
        if (is_number(cells[i])) return false;
    for (size_t i = 0; i < n && r->times == MOST_COLUMNS; i++)
        if (names_time(cells[i], &r->unit)) r->times = i;
    return true;
}

static bool number_in(struct reader *r, struct cell cell, double *out) {
    struct bw_err why = {0};
    if (cell.length == 0) return refuse(r, "has an empty column");
    if (bw_number(cell.text, cell.length, out, &why) && fabs(*out) < 1e30) return true;
    if (memchr(cell.text, ',', cell.length) != NULL)
        return refuse(r, "has a comma within a number; write 0.25, not 0,25");
    return refuse(r, "has something that is no number");
}

static bool take_time(struct reader *r, double t) {
    t *= r->unit;
    double step = t - r->last;
    if (r->frames == 0) r->first = t;
    if (r->frames > 0 && step < 0) return refuse(r, "goes back in time");
    if (r->frames > 0 && step > r->longest) {
        r->longest = step;
        r->longest_line = r->number;
    }
    r->last = t;
    return true;
}

static bool take_row(struct reader *r, const struct cell *cells, size_t n) {
    if (n != r->columns) return refuse(r, "has another number of columns than the first");
    size_t channels = r->columns - (r->times < r->columns ? 1 : 0);
    float *to = job_samples(r->job) + r->frames * channels;
    for (size_t i = 0; i < n; i++) {
        double v;
        if (!number_in(r, cells[i], &v)) return false;
        if (i != r->times)
            *to++ = (float)v;
        else if (!take_time(r, v))
            return false;
    }
    r->frames++;
    return true;
}

static bool take_line(struct reader *r) {
    struct cell cells[MOST_COLUMNS + 1];
    if (r->separator == '\0') r->separator = separator_of(r->line);
    size_t n = split(r, cells);
    if (n > MOST_COLUMNS) return refuse(r, "has too many columns; at most 16 channels are read");
    bool first = r->columns == 0;
    if (first && take_titles(r, cells, n)) return true;
    size_t channels = r->columns - (r->times < r->columns ? 1 : 0);
    if (channels == 0) return refuse(r, "has times but no samples");
    if (channels > BW_MAX_SOUND_CHANNELS)
        return refuse(r, "has too many columns; at most 16 channels are read");
    r->most = job_samples_most(r->job) / channels;
    if (r->frames < r->most) return take_row(r, cells, n);
    r->job->about.flags |= BW_SOUND_CUT;
    return true;
}

// Times that are even but for their rounding; a gap would be heard as a jump of all speeds.
static bool settle_rate(struct reader *r) {
    if (r->times >= r->columns) return true;
    double step = r->frames > 1 ? (r->last - r->first) / (double)(r->frames - 1) : 0;
    if (!(step > 0) || 1 / step > BW_MAX_SOUND_RATE || 1 / step < 1)
        return bw_fail(r->err, BW_INPUT, "the column of times does not give a rate of samples");
    if (r->longest > 1.8 * step)
        return bw_fail(r->err, BW_INPUT, "the times are not even: a gap before line %ld",
                       r->longest_line);
    r->job->about.rate_hz = 1 / step;
    return true;
}

static bool read_all(struct reader *r) {
    while ((r->job->about.flags & BW_SOUND_CUT) == 0 && next_line(r)) {
        size_t lead = strspn(r->line, " \t");
        if (lead == r->length || r->line[lead] == '#') continue;
        if (!take_line(r)) return false;
    }
    if (r->err->code != BW_OK) return false;
    if (r->frames == 0) return bw_fail(r->err, BW_INPUT, "the file holds no rows of numbers");
    r->job->about.frames = r->frames;
    r->job->about.channels = (uint32_t)(r->columns - (r->times < r->columns ? 1 : 0));
    return settle_rate(r);
}

bool decode_numbers(struct job *job, struct bw_err *err) {
    static struct reader r;  // 70 kB, too much for some stacks
    r = (struct reader){.job = job, .err = err};
    job->about.format = BW_SOUND_CSV;
    return read_all(&r);
}
