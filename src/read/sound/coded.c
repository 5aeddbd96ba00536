// coded.c - WAV, FLAC, OGG, MP3 and their like by libsndfile, through reads at places alone.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The library never sees a descriptor: the jail forbids lseek and fstat, and it needs neither.
#include "read/sound/decode.h"

#include <errno.h>
#include <math.h>
#include <sndfile.h>
#include <string.h>

// Of a file whose first bytes it does not know (an MP3 without a tag is one) the library looks for
// a companion beside it, by name. Beside a descriptor there is none, and the jail kills who opens
// files: the library's calls end here, as a program's own functions come before the C library's.
int open(const char *name, int flags, ...);
int open(const char *name, int flags, ...) {
    (void)name, (void)flags;
    errno = ENOENT;
    return -1;
}

struct stream {
    sf_count_t at, size;
};

static sf_count_t stream_size(void *user) { return ((struct stream *)user)->size; }
static sf_count_t stream_tell(void *user) { return ((struct stream *)user)->at; }

static sf_count_t stream_seek(sf_count_t offset, int whence, void *user) {
    struct stream *stream = user;
    sf_count_t from = whence == SEEK_CUR ? stream->at : whence == SEEK_END ? stream->size : 0;
    if (offset < -from || offset > stream->size - from) return -1;
    stream->at = from + offset;
    return stream->at;
}

static sf_count_t stream_read(void *to, sf_count_t bytes, void *user) {
    struct stream *stream = user;
    sf_count_t left = stream->size - stream->at;
    if (bytes > left) bytes = left;
    if (bytes <= 0) return 0;
    size_t n = file_read((uint64_t)stream->at, to, (size_t)bytes);
    stream->at += (sf_count_t)n;
    return (sf_count_t)n;
}

static sf_count_t stream_write(const void *from, sf_count_t bytes, void *user) {
    (void)from, (void)bytes, (void)user;
    return 0;  // opened for reading
}

static uint32_t format_of(int format) {
    switch (format & SF_FORMAT_TYPEMASK) {
    case SF_FORMAT_WAV:
    case SF_FORMAT_WAVEX:
    case SF_FORMAT_RF64:
    case SF_FORMAT_W64: return BW_SOUND_WAV;
    case SF_FORMAT_FLAC: return BW_SOUND_FLAC;
    case SF_FORMAT_OGG: return BW_SOUND_OGG;
    case SF_FORMAT_MPEG: return BW_SOUND_MP3;
    default: return BW_SOUND_OTHER;
    }
}

static uint32_t bits_of(int format) {
    switch (format & SF_FORMAT_SUBMASK) {
    case SF_FORMAT_PCM_S8:
    case SF_FORMAT_PCM_U8: return 8;
    case SF_FORMAT_PCM_16: return 16;
    case SF_FORMAT_PCM_24: return 24;
    case SF_FORMAT_PCM_32:
    case SF_FORMAT_FLOAT: return 32;
    case SF_FORMAT_DOUBLE: return 64;
    default: return 0;  // coded
    }
}

// Words of the library, cut to one line.
static bool refuse(SNDFILE *file, struct bw_err *err) {
    char words[120];
    const char *said = sf_strerror(file);
    size_t n = strcspn(said, "\n");
    if (n > sizeof words - 1) n = sizeof words - 1;
    memcpy(words, said, n);
    if (n > 0 && words[n - 1] == '.') n--;
    words[n] = '\0';
    return bw_fail(err, sf_error(file) == SF_ERR_MALFORMED_FILE ? BW_INPUT : BW_UNSUPPORTED,
                   "no recording that can be read (WAV, FLAC, OGG, MP3, CSV): %s", words);
}

static bool check_info(const SF_INFO *info, struct bw_err *err) {
    if (info->channels < 1 || info->channels > BW_MAX_SOUND_CHANNELS)
        return bw_fail(err, BW_LIMIT, "the recording has %d channels; at most %d are read",
                       info->channels, BW_MAX_SOUND_CHANNELS);
    if (info->samplerate < 1 || info->samplerate > BW_MAX_SOUND_RATE)
        return bw_fail(err, BW_INPUT, "the recording claims %d samples a second; that is broken",
                       info->samplerate);
    return true;
}

// Floats may hold anything; what is no number is nothing that a sensor said.
static bool all_numbers(const float *samples, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (!isfinite(samples[i])) return false;
    return true;
}

static bool read_all(SNDFILE *file, struct job *job, size_t channels, struct bw_err *err) {
    float *samples = job_samples(job);
    size_t most = job_samples_most(job) / channels, frames = 0;
    while (frames < most) {
        size_t want = most - frames < 65536 ? most - frames : 65536;
        sf_count_t got = sf_readf_float(file, samples + frames * channels, (sf_count_t)want);
        if (got <= 0) break;
        frames += (size_t)got;
    }
    float beyond[BW_MAX_SOUND_CHANNELS];
    if (frames == most && sf_readf_float(file, beyond, 1) == 1) job->about.flags |= BW_SOUND_CUT;
    if (frames == 0) return bw_fail(err, BW_INPUT, "the recording holds no samples");
    if (!all_numbers(samples, frames * channels))
        return bw_fail(err, BW_INPUT, "the recording holds values that are no numbers");
    job->about.frames = frames;
    return true;
}

bool decode_coded(struct job *job, struct bw_err *err) {
    SF_VIRTUAL_IO calls = {stream_size, stream_seek, stream_read, stream_write, stream_tell};
    struct stream stream = {.size = (sf_count_t)job->room->file_bytes};
    SF_INFO info = {0};
    SNDFILE *file = sf_open_virtual(&calls, SFM_READ, &info, &stream);
    if (file == NULL) return refuse(NULL, err);
    bool ok = check_info(&info, err);
    if (ok) {
        job->about.rate_hz = info.samplerate;
        job->about.channels = (uint32_t)info.channels;
        job->about.format = format_of(info.format);
        job->about.bits = bits_of(info.format);
        if (job->about.bits == 0) job->about.flags |= BW_SOUND_LOSSY;
        ok = read_all(file, job, (size_t)info.channels, err);
    }
    (void)sf_close(file);
    return ok;
}
