// protocol.c - see protocol.h. Everything here looks at bytes that a stranger may have chosen.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/protocol.h"

#include <assert.h>
#include <math.h>
#include <string.h>

static_assert(sizeof(struct bw_read_envelope) + sizeof(struct bw_picture_header) <= BW_READ_DATA_AT,
              "headers below the data");
static_assert(sizeof(struct bw_read_envelope) + sizeof(struct bw_sound_header) <= BW_READ_DATA_AT,
              "headers below the data");
static_assert(sizeof(struct bw_read_envelope) + sizeof(struct bw_profile_header) <= BW_READ_DATA_AT,
              "headers below the data");
static_assert(sizeof(struct bw_read_envelope) % 8 == 0, "the inner header is aligned");

// "jail T N F B LL": digits at fixed places, so that reading needs no parser.
static const char LINE_FORM[] = "jail 0 0 0 0 00\n";

void bw_jail_line(char line[BW_JAIL_LINE], const struct bw_jail_report *report) {
    (void)snprintf(line, BW_JAIL_LINE, "jail %d %d %d %d %02d\n", (int)report->tier,
                   report->no_new_privileges, report->filter, report->by_build,
                   report->landlock % 100);
}

bool bw_jail_line_read(const char *text, size_t length, struct bw_jail_report *out) {
    if (length < sizeof LINE_FORM - 1) return false;
    for (size_t i = 0; i < sizeof LINE_FORM - 1; i++) {
        bool digit = text[i] >= '0' && text[i] <= '9';
        if (LINE_FORM[i] == '0' ? !digit : text[i] != LINE_FORM[i]) return false;
    }
    if (text[5] > '0' + BW_JAIL_FULL || text[7] > '1' || text[9] > '1' || text[11] > '1')
        return false;
    *out = (struct bw_jail_report){.tier = (enum bw_jail)(text[5] - '0'),
                                   .no_new_privileges = text[7] == '1',
                                   .filter = text[9] == '1',
                                   .by_build = text[11] == '1',
                                   .landlock = 10 * (text[13] - '0') + (text[14] - '0')};
    return true;
}

const char *bw_jail_text(char text[BW_JAIL_TEXT], const struct bw_jail_report *report) {
    char landlock[40] = "no Landlock in this kernel";
    if (report->landlock > 0)
        (void)snprintf(landlock, sizeof landlock, "Landlock %d", report->landlock);
    if (report->tier == BW_JAIL_NONE)
        (void)snprintf(text, BW_JAIL_TEXT, "no jail%s", report->by_build ? " (test build)" : "");
    else
        (void)snprintf(text, BW_JAIL_TEXT, "%s jail (%s, %s)",
                       report->tier == BW_JAIL_FULL ? "full" : "partial",
                       report->filter ? "system-call filter" : "no system-call filter", landlock);
    return text;
}

static bool lie(struct bw_err *err, const char *about) {
    return bw_fail(err, BW_REFUSED,
                   "the reader's answer does not hold together (%s); "
                   "the file is broken or hostile",
                   about);
}

// The reader's words, cut to plain ASCII: whoever wrote them may want to drive a terminal.
static bool fail_in_its_words(const struct bw_read_envelope *envelope, struct bw_err *err) {
    char what[sizeof envelope->what + 1];
    size_t n = 0;
    for (; n < sizeof envelope->what && envelope->what[n] != '\0'; n++) {
        unsigned char c = (unsigned char)envelope->what[n];
        what[n] = c < 0x20 || c > 0x7e ? '?' : (char)c;
    }
    what[n] = '\0';
    enum bw_code code = envelope->code;
    if (envelope->code <= BW_OK || envelope->code >= BW_CODE_COUNT || n == 0)
        return lie(err, "no reason given");
    return bw_fail(err, code, "%s", what);
}

bool bw_read_envelope_check(const void *bytes, size_t length, uint64_t room_bytes, uint32_t kind,
                            struct bw_read_envelope *out, struct bw_err *err) {
    struct bw_read_envelope envelope;
    if (length < sizeof envelope) return lie(err, "no header");
    memcpy(&envelope, bytes, sizeof envelope);
    if (memcmp(envelope.magic, BW_READ_MAGIC, sizeof envelope.magic) != 0)
        return lie(err, "no header");
    if (envelope.version != BW_READ_VERSION || envelope.kind != kind)
        return bw_fail(err, BW_FAILED,
                       "the reader speaks version %u of our protocol, we speak %u; "
                       "install both from one build",
                       (unsigned)envelope.version, (unsigned)BW_READ_VERSION);
    if (envelope.state == BW_READ_FAILED) return fail_in_its_words(&envelope, err);
    if (envelope.state != BW_READ_DONE) return lie(err, "it did not finish");
    if (envelope.bytes < BW_READ_DATA_AT || envelope.bytes > room_bytes)
        return lie(err, "more data than room");
    *out = envelope;
    return true;
}

// A piece of the data lies inside what is used, is aligned, and nothing overflows.
static bool piece_fits(uint64_t at, uint64_t bytes, uint64_t used) {
    return at >= BW_READ_DATA_AT && at % 8 == 0 && bytes <= used && at <= used - bytes;
}

static bool sizes_hold(const struct bw_picture_header *header, uint64_t used, const char **about) {
    *about = "bit depth";
    if (header->bits != 8 && header->bits != 16) return false;
    *about = "width or height";
    if (header->width == 0 || header->width > BW_MAX_PICTURE_SIDE) return false;
    if (header->height == 0 || header->height > BW_MAX_PICTURE_SIDE) return false;
    *about = "number of codes";
    uint64_t bytes = header->width * header->height * (header->bits / 8);  // below 2^35
    if (bytes > BW_MAX_PICTURE_WORK_BYTES || header->codes_bytes != bytes) return false;
    if (!piece_fits(header->codes_at, header->codes_bytes, used)) return false;
    *about = "size of the table";
    if (header->linear_bytes != ((uint64_t)1 << header->bits) * sizeof(float)) return false;
    return piece_fits(header->linear_at, header->linear_bytes, used);
}

static bool words_hold(const struct bw_picture_header *header, const char **about) {
    *about = "format";
    if (header->format < BW_FORMAT_JPEG || header->format > BW_FORMAT_HEIC) return false;
    *about = "transfer";
    if (header->transfer > BW_TRANSFER_LINEAR || header->flags > BW_PICTURE_FLAGS) return false;
    *about = "depth of the file";
    if (header->file_bits == 0 || header->file_bits > 16) return false;
    if (header->file_channels == 0 || header->file_channels > 64) return false;
    *about = "orientation";
    return header->orientation >= 1 && header->orientation <= 8;
}

// 1 to 10^8 pixels a metre: a satellite's or an atom's picture is neither of a panel.
static bool scale_holds(const struct bw_picture_header *header) {
    if (header->scale > BW_SCALE_TIFF) return false;
    if (header->scale == BW_SCALE_NONE) return header->x_per_m == 0 && header->y_per_m == 0;
    return header->x_per_m >= 1 && header->x_per_m <= 1e8 && header->y_per_m >= 1 &&
           header->y_per_m <= 1e8;
}

static bool gamma_holds(const struct bw_picture_header *header) {
    if (header->transfer != BW_TRANSFER_GAMMA) return header->gamma == 0;
    return header->gamma >= 0.1 && header->gamma <= 10;
}

static bool taken_at_holds(const char taken_at[32]) {
    static const char FORM[] = "0000-00-00T00:00:00+00:00";
    size_t n = 0;
    while (n < 32 && taken_at[n] != '\0') n++;
    if (n != 0 && n != 19 && n != 25) return false;
    for (size_t i = 0; i < n; i++) {
        bool digit = taken_at[i] >= '0' && taken_at[i] <= '9';
        if (FORM[i] == '0' ? !digit : taken_at[i] != FORM[i] && !(i == 19 && taken_at[i] == '-'))
            return false;
    }
    return true;
}

bool bw_picture_header_check(const void *bytes, size_t length, uint64_t used,
                             struct bw_picture_header *out, struct bw_err *err) {
    struct bw_picture_header header;
    const char *about;
    if (length < sizeof header) return lie(err, "no picture header");
    memcpy(&header, bytes, sizeof header);
    if (!sizes_hold(&header, used, &about)) return lie(err, about);
    if (!words_hold(&header, &about)) return lie(err, about);
    if (!scale_holds(&header)) return lie(err, "resolution");
    if (!gamma_holds(&header)) return lie(err, "gamma");
    if (!taken_at_holds(header.taken_at)) return lie(err, "date");
    *out = header;
    return true;
}

bool bw_picture_linear_check(const float *linear, size_t count, struct bw_err *err) {
    float before = 0;
    for (size_t i = 0; i < count; i++) {
        if (!(linear[i] >= before && linear[i] <= 1)) return lie(err, "table");
        before = linear[i];
    }
    return true;
}

static bool sound_holds(const struct bw_sound_header *header, uint64_t used, const char **about) {
    *about = "channels";
    if (header->channels == 0 || header->channels > BW_MAX_SOUND_CHANNELS) return false;
    *about = "number of samples";
    if (header->frames == 0 || header->frames > BW_MAX_SOUND_BYTES / sizeof(float)) return false;
    uint64_t bytes = header->frames * header->channels * sizeof(float);  // below 2^33
    if (bytes > BW_MAX_SOUND_BYTES || header->samples_bytes != bytes) return false;
    if (!piece_fits(header->samples_at, bytes, used)) return false;
    *about = "rate";
    bool stated = header->rate_hz >= 1 && header->rate_hz <= BW_MAX_SOUND_RATE;
    if (!stated && header->rate_hz != 0) return false;
    *about = "format";
    return header->format >= BW_SOUND_WAV && header->format <= BW_SOUND_CSV &&
           header->flags <= BW_SOUND_FLAGS && header->bits <= 64;
}

bool bw_sound_header_check(const void *bytes, size_t length, uint64_t used,
                           struct bw_sound_header *out, struct bw_err *err) {
    struct bw_sound_header header;
    const char *about;
    if (length < sizeof header) return lie(err, "no sound header");
    memcpy(&header, bytes, sizeof header);
    if (!sound_holds(&header, used, &about)) return lie(err, about);
    *out = header;
    return true;
}

bool bw_sound_samples_check(const float *samples, size_t count, struct bw_err *err) {
    for (size_t i = 0; i < count; i++)
        if (!isfinite(samples[i])) return lie(err, "a sample is no number");
    return true;
}

// --- profiles ----------------------------------------------------------------------------------

static bool places_hold(const struct bw_profile_header *header, uint64_t used) {
    uint64_t columns = header->columns, rows = header->rows;
    if (columns < 2 || rows < 1 || columns > BW_MAX_PROFILE_POINTS ||
        rows > BW_MAX_PROFILE_POINTS || columns * rows > BW_MAX_PROFILE_POINTS)
        return false;
    uint64_t x_bytes = header->x_at == 0 ? 0 : columns * sizeof(double);
    return header->heights_bytes == columns * rows * sizeof(double) && header->x_bytes == x_bytes &&
           header->voids <= columns * rows &&
           piece_fits(header->heights_at, header->heights_bytes, used) &&
           (header->x_at == 0 || piece_fits(header->x_at, x_bytes, used));
}

// From an atom to a street.
static bool spacing_holds(double d) { return d >= 1e-12 && d <= 100; }

static bool date_holds(const char made_at[32]) {
    size_t n = 0;
    while (n < 32 && made_at[n] != '\0') {
        if (made_at[n] < 0x20 || made_at[n] > 0x7e) return false;
        n++;
    }
    return n < 32;
}

bool bw_profile_header_check(const void *bytes, size_t length, uint64_t used,
                             struct bw_profile_header *out, struct bw_err *err) {
    struct bw_profile_header header;
    if (length < sizeof header) return lie(err, "no profile header");
    memcpy(&header, bytes, sizeof header);
    if (!places_hold(&header, used)) return lie(err, "sizes");
    // Places without a unit may be anything above nothing.
    bool bare = (header.flags & BW_PROFILE_BARE_PLACES) != 0;
    if (!(bare ? header.dx > 0 && header.dx < 1e12 : spacing_holds(header.dx)) ||
        (header.rows > 1 ? !spacing_holds(header.dy) : header.dy != 0))
        return lie(err, "spacing");
    if (header.format < BW_PROFILE_TEXT || header.format > BW_PROFILE_X3P ||
        header.sum > BW_SUM_STALE || header.flags > BW_PROFILE_FLAGS)
        return lie(err, "kind");
    if (!date_holds(header.made_at)) return lie(err, "date");
    *out = header;
    return true;
}

bool bw_profile_data_check(const unsigned char *room, const struct bw_profile_header *header,
                           struct bw_err *err) {
    const double *heights = (const double *)(const void *)(room + header->heights_at);
    const double *x = (const double *)(const void *)(room + header->x_at);
    uint64_t voids = 0;
    for (uint64_t i = 0; i < header->columns * header->rows; i++) {
        if (isinf(heights[i])) return lie(err, "a height");
        if (isnan(heights[i])) voids++;
    }
    if (voids != header->voids) return lie(err, "voids");
    for (uint64_t i = 0; header->x_at != 0 && i < header->columns; i++)
        if (!isfinite(x[i]) || (i > 0 && !(x[i] > x[i - 1]))) return lie(err, "places");
    return true;
}
