// archive_write.c - the writing half of archive.h: the ustar format of IEEE Std 1003.1 (pax).
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/format.h"
#include "job/archive.h"

#include <string.h>

#define BLOCK 512

static void put(struct bw_archive_writer *writer, const void *bytes, size_t length) {
    if (length > 0 && !writer->failed && fwrite(bytes, 1, length, writer->to) != length)
        writer->failed = true;
}

// Where each field of a header stands: name 0, mode 100, uid 108, gid 116, size 124, mtime 136,
// checksum 148, type 156, magic 257. Numbers are octal. No time and no owner, so that the same jobs
// give the same bytes.
static void put_header(struct bw_archive_writer *writer, const char *name, uint64_t size) {
    char block[BLOCK] = {0};
    unsigned sum = 0;
    (void)bw_format(block, 100, "%s", name);
    (void)bw_format(block + 100, 8, "%07o", 0644U);
    (void)bw_format(block + 108, 8, "%07o", 0U);
    (void)bw_format(block + 116, 8, "%07o", 0U);
    (void)bw_format(block + 124, 12, "%011llo", (unsigned long long)size);
    (void)bw_format(block + 136, 12, "%011o", 0U);
    memset(block + 148, ' ', 8);
    block[156] = '0';
    memcpy(block + 257, "ustar\00000", 8);
    for (size_t i = 0; i < BLOCK; i++) sum += (unsigned char)block[i];
    (void)bw_format(block + 148, 7, "%06o", sum);
    put(writer, block, BLOCK);
}

static void put_padding(struct bw_archive_writer *writer, uint64_t size) {
    static const char ZEROS[BLOCK] = {0};
    put(writer, ZEROS, (size_t)((BLOCK - size % BLOCK) % BLOCK));
}

static void put_member(struct bw_archive_writer *writer, const char *name,
                       const struct bw_buffer *bytes) {
    if (bytes->failed) writer->failed = true;
    put_header(writer, name, bytes->length);
    put(writer, bytes->data, bytes->length);
    put_padding(writer, bytes->length);
}

struct bw_archive_writer bw_archive_begin(FILE *to) {
    struct bw_archive_writer writer = {.to = to};
    struct bw_buffer text = {0};
    bw_buffer_text(&text,
                   "{\"shape\":\"" BW_ARCHIVE_SHAPE "\",\"version\":\"" BELTWRIGHT_VERSION "\"}\n");
    put_member(&writer, "beltwright.json", &text);
    bw_buffer_free(&text);
    return writer;
}

void bw_archive_file(struct bw_archive_writer *writer, const char *sha256, uint64_t size) {
    char name[100];
    (void)bw_format(name, sizeof name, "files/%s", sha256);
    put_header(writer, name, size);
}

void bw_archive_piece(struct bw_archive_writer *writer, const void *bytes, size_t length) {
    put(writer, bytes, length);
}

void bw_archive_file_end(struct bw_archive_writer *writer, uint64_t size) {
    put_padding(writer, size);
}

static void add_line(struct bw_buffer *out, const struct bw_entry *entry) {
    if (bw_entry_erased(entry))
        bw_buffer_format(out, "{\"erased\":\"%s\",\"job\":\"%s\",\"tick\":%ld}", entry->id,
                         entry->job, entry->tick);
    else
        bw_buffer_add(out, entry->line, entry->length);
    bw_buffer_char(out, '\n');
}

void bw_archive_job(struct bw_archive_writer *writer, const struct bw_entries *set) {
    char name[100];
    struct bw_buffer lines = {0};
    if (set->n == 0) return;
    for (size_t i = 0; i < set->n; i++) add_line(&lines, &set->items[i]);
    (void)bw_format(name, sizeof name, "jobs/%s.jsonl", set->items[0].job);
    put_member(writer, name, &lines);
    bw_buffer_free(&lines);
}

bool bw_archive_end(struct bw_archive_writer *writer, struct bw_err *err) {
    static const char ZEROS[2 * BLOCK] = {0};
    put(writer, ZEROS, sizeof ZEROS);
    if (fflush(writer->to) != 0) writer->failed = true;
    return !writer->failed || bw_fail(err, BW_IO, "the archive could not be written whole");
}
