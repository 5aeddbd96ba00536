// sound.c - `beltwright sound FILE`: what a recording is, and its samples as numbers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/json.h"
#include "base/number.h"
#include "read/sound.h"

#include <errno.h>
#include <math.h>
#include <string.h>

static double seconds(const struct bw_sound *sound) {
    return sound->rate_hz > 0 ? (double)sound->frames / sound->rate_hz : 0;
}

static double peak(const struct bw_sound *sound) {
    float highest = 0;
    for (size_t i = 0; i < sound->frames * sound->channels; i++)
        highest = fmaxf(highest, fabsf(sound->samples[i]));
    return (double)highest;
}

static const char *kind(struct bw_arena *arena, const struct bw_sound *sound) {
    const struct bw_sound_header *about = &sound->about;
    const char *bits = about->bits == 0 ? "" : bw_arena_format(arena, ", %u bits", about->bits);
    return bw_arena_format(arena, "%s%s%s",
                           bw_sound_format_name((enum bw_sound_format)about->format),
                           bits == NULL ? "" : bits,
                           (about->flags & BW_SOUND_LOSSY) != 0 ? ", coded for the ear" : "");
}

static void line(struct bw_buffer *out, const char *name, const char *words) {
    bw_buffer_format(out, "%-12s %s\n", name, words == NULL ? "?" : words);
}

static bool write_text(struct bw_cli *cli, const struct bw_sound *sound, struct bw_err *err) {
    struct bw_buffer out = {0};
    struct bw_arena *arena = cli->arena;
    char jail[BW_JAIL_TEXT];
    bool timed = sound->rate_hz > 0;
    line(&out, "length",
         timed ? bw_arena_format(arena, "%.4g s, %zu samples at %.6g Hz", seconds(sound),
                                 sound->frames, sound->rate_hz)
               : bw_arena_format(arena, "%zu samples; their rate is not stated", sound->frames));
    line(&out, "channels", bw_arena_format(arena, "%zu", sound->channels));
    line(&out, "kind", kind(arena, sound));
    line(&out, "highest",
         bw_arena_format(arena, "%.4g%s", peak(sound),
                         sound->about.format == BW_SOUND_CSV ? ", as written" : " of full scale"));
    if ((sound->about.flags & BW_SOUND_CUT) != 0) line(&out, "left out", "the file goes on");
    line(&out, "decoded in", bw_jail_text(jail, &sound->jail));
    return bw_write(cli, "-", &out, err);
}

static void number(struct bw_json *json, const char *key, double value) {
    bw_json_key(json, key);
    bw_json_number(json, value);
}

static bool write_json(struct bw_cli *cli, const struct bw_sound *sound, struct bw_err *err) {
    static const char *const TIERS[] = {"none", "partial", "full"};
    struct bw_buffer out = {0};
    struct bw_json json = bw_json_begin(&out);
    bw_json_open(&json, '{');
    bw_json_key(&json, "shape");
    bw_json_text(&json, "sound/1");
    number(&json, "samples", (double)sound->frames);
    number(&json, "channels", (double)sound->channels);
    if (sound->rate_hz > 0) number(&json, "rate_hz", sound->rate_hz);
    if (sound->rate_hz > 0) number(&json, "seconds", seconds(sound));
    number(&json, "highest", peak(sound));
    bw_json_key(&json, "format");
    bw_json_text(&json, bw_sound_format_name((enum bw_sound_format)sound->about.format));
    number(&json, "file_bits", sound->about.bits);
    bw_json_key(&json, "cut");
    bw_json_bool(&json, (sound->about.flags & BW_SOUND_CUT) != 0);
    bw_json_key(&json, "lossy");
    bw_json_bool(&json, (sound->about.flags & BW_SOUND_LOSSY) != 0);
    bw_json_key(&json, "jail");
    bw_json_text(&json, TIERS[sound->jail.tier]);
    bw_json_close(&json, '}');
    return bw_write(cli, "-", &out, err);
}

// One line a moment, one column a channel; with times where the rate is known.
static bool write_rows(const struct bw_sound *sound, FILE *file) {
    char text[BW_NUMBER_TEXT];
    bool timed = sound->rate_hz > 0;
    bool ok = true;
    if (timed) ok = fputs("time_s", file) >= 0;
    for (size_t c = 0; ok && c < sound->channels; c++)
        ok = fprintf(file, "%schannel_%zu", c > 0 || timed ? "," : "", c + 1) > 0;
    for (size_t i = 0; ok && i < sound->frames; i++) {
        ok = fputc('\n', file) != EOF;
        if (timed) ok = ok && fputs(bw_number_text(text, (double)i / sound->rate_hz), file) >= 0;
        for (size_t c = 0; ok && c < sound->channels; c++) {
            if (c > 0 || timed) ok = fputc(',', file) != EOF;
            double value = (double)sound->samples[i * sound->channels + c];
            ok = ok && fputs(bw_number_digits(text, value, 7), file) >= 0;
        }
    }
    return ok && fputc('\n', file) != EOF;
}

static bool write_csv(struct bw_cli *cli, const struct bw_sound *sound, const char *name,
                      struct bw_err *err) {
    bool to_out = strcmp(name, "-") == 0;
    FILE *file = to_out ? cli->out : fopen(name, "wb");
    bool ok = file != NULL && write_rows(sound, file);
    int reason = errno;
    if (file != NULL && !to_out && fclose(file) != 0 && ok) {
        ok = false;
        reason = errno;
    }
    if (ok) return true;
    bw_fail(err, BW_IO, "cannot be written: %s", strerror(reason));
    bw_err_file(err, name);
    return false;
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    struct bw_sound_options options = {.unjailed = bw_given(given, "unjailed")};
    struct bw_sound sound = {0};
    const char *csv = bw_given_value(given, "csv");
    if (!bw_sound_read(bw_given_value(given, "file"), &options, &sound, err)) return false;
    bool ok = csv == NULL || write_csv(cli, &sound, csv, err);
    bool told = csv != NULL && strcmp(csv, "-") == 0;  // the samples have the output for themselves
    if (ok && !told)
        ok = bw_given(given, "json") ? write_json(cli, &sound, err) : write_text(cli, &sound, err);
    bw_sound_free(&sound);
    return ok;
}

static const struct bw_option OPTIONS[] = {
    {.name = "file",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .positional = true,
     .required = true,
     .help = "the recording: WAV, FLAC, OGG, MP3, or numbers as CSV"},
    {.name = "csv",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .help = "write the samples as numbers; - for the standard output"},
    {.name = "json", .help = "print what is known as JSON"},
    BW_OPTION_UNJAILED,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_sound = {
    .page = {.name = "sound",
             .summary = "say what a recording is, and decode it",
             .about = "Prints length, rate, channels, depth and the highest sample of a recording, "
                      "as every study of recordings gets it.\n\n"
                      "A recording from a stranger is decoded by a second program that can do "
                      "nothing but decode: no files, no network, no other program, bounded memory "
                      "and time. How far this machine can lock it in is printed last. Where the "
                      "lock is not full, decoding is refused unless you say --unjailed.",
             .example = "beltwright sound recording.wav --csv samples.csv",
             .options = OPTIONS},
    .run = run,
};
