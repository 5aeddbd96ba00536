// main.c - beltwright-read-sound: a stranger's recording in, samples out, in a jail.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Started by src/read/reader.c with the file on 0, the room on 1, a pipe on 2. docs/readers.md.
#include "read/sound/decode.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

float *job_samples(const struct job *job) {
    return (float *)(void *)(job->room->bytes + BW_READ_DATA_AT);
}

size_t job_samples_most(const struct job *job) {
    uint64_t bytes = job->room->size - BW_READ_DATA_AT;
    if (bytes > BW_MAX_SOUND_BYTES) bytes = BW_MAX_SOUND_BYTES;
    return (size_t)(bytes / sizeof(float));
}

size_t file_read(uint64_t at, void *to, size_t bytes) {
    size_t have = 0;
    while (have < bytes) {
        ssize_t n = pread(0, (char *)to + have, bytes - have, (off_t)(at + have));
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) break;
        have += (size_t)n;
    }
    return have;
}

// What a file is, by its first bytes and never by its name; of what is not read, the name.
struct sort {
    const char *bytes;
    size_t length, at;
    const char *name;
};
static const struct sort OTHERS[] = {
    {"ftyp", 4, 4, "M4A sound or a video"},
    {"\x1a\x45\xdf\xa3", 4, 0, "a WebM or Matroska file"},
    {"\x30\x26\xb2\x75", 4, 0, "a WMA file"},
    {"#!AMR", 5, 0, "an AMR recording"},
    {"MATLAB", 6, 0, "a MAT file"},
    {"\x89HDF", 4, 0, "an HDF5 or MAT file"},
    {"%PDF", 4, 0, "a PDF"},
    {"PK\3\4", 4, 0, "a ZIP archive or a spreadsheet"},
    {"\xff\xd8\xff", 3, 0, "a picture"},
    {"\x89PNG", 4, 0, "a picture"},
    {"<", 1, 0, "a web page"},
};

static const char *other_sort(const unsigned char *head, size_t n) {
    for (size_t i = 0; i < sizeof OTHERS / sizeof OTHERS[0]; i++) {
        const struct sort *sort = &OTHERS[i];
        if (n >= sort->at + sort->length && memcmp(head + sort->at, sort->bytes, sort->length) == 0)
            return sort->name;
    }
    return NULL;
}

// Text has no control characters but line ends and tabs.
static bool looks_like_text(const unsigned char *head, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (head[i] < 0x20 && head[i] != '\n' && head[i] != '\r' && head[i] != '\t') return false;
    return true;
}

static bool decode(struct job *job, struct bw_err *err) {
    unsigned char head[512];
    uint64_t bytes = job->room->file_bytes;
    if (bytes == 0) return bw_fail(err, BW_INPUT, "the file is empty");
    if (bytes > BW_MAX_SOUND_FILE_BYTES)
        return bw_fail(err, BW_LIMIT, "the file has %llu MB; at most %llu are read",
                       (unsigned long long)(bytes / 1000000),
                       (unsigned long long)(BW_MAX_SOUND_FILE_BYTES / 1000000));
    size_t n = file_read(0, head, sizeof head);
    const char *other = other_sort(head, n);
    if (other != NULL)
        return bw_fail(err, BW_UNSUPPORTED,
                       "this is %s; save the recording as WAV, FLAC, OGG, MP3 or CSV", other);
    return looks_like_text(head, n) ? decode_numbers(job, err) : decode_coded(job, err);
}

static int answer(struct job *job, const struct bw_jail_room *room) {
    job->about.samples_at = BW_READ_DATA_AT;
    job->about.samples_bytes = job->about.frames * job->about.channels * sizeof(float);
    memcpy(room->bytes + sizeof(struct bw_read_envelope), &job->about, sizeof job->about);
    return bw_jail_answer_done(room, BW_READ_SOUND,
                               job->about.samples_at + job->about.samples_bytes);
}

int main(int argc, char **argv) {
    struct bw_jail_room room;
    struct bw_err err = {0};
    int status = bw_jail_start(argc, argv, &room);
    if (status == 0) {
        struct job job = {.room = &room};
        status = decode(&job, &err) ? answer(&job, &room)
                                    : bw_jail_answer_failed(&room, BW_READ_SOUND, &err);
    }
#ifdef BW_JAIL_OFF
    return status;  // lets the sanitizer look for leaks
#else
    _exit(status);  // libraries' farewells have no business in the jail
#endif
}
