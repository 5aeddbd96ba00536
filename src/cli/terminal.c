// terminal.c - how wide the terminal is, and writing to it or to files.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/number.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#define USUAL_WIDTH 80
#define LEAST_WIDTH 40  // below, tables cannot be laid out; the terminal wraps them
#define MOST_WIDTH 100  // longer lines of prose are hard to read

static long columns(FILE *out) {
    const char *set = getenv("COLUMNS");
    struct bw_err ignored = {0};
    long width;
    if (set != NULL && bw_count(set, strlen(set), 1, 10000, &width, &ignored)) return width;
    struct winsize size;
    int fd = fileno(out);  // -1 for a stream in memory
    if (fd >= 0 && ioctl(fd, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) return size.ws_col;
    return USUAL_WIDTH;
}

int bw_terminal_width(FILE *out) {
    long width = columns(out);
    return (int)(width < LEAST_WIDTH ? LEAST_WIDTH : width > MOST_WIDTH ? MOST_WIDTH : width);
}

struct bw_text bw_cli_text(struct bw_cli *cli, enum bw_units units) {
    return (struct bw_text){.arena = cli->arena, .units = units, .width = cli->width};
}

static bool write_file(const char *name, const struct bw_buffer *buffer, struct bw_err *err) {
    FILE *file = fopen(name, "wb");
    bool good = file != NULL;
    if (good) good = fwrite(buffer->data, 1, buffer->length, file) == buffer->length;
    int reason = errno;
    if (file != NULL && fclose(file) != 0 && good) {
        good = false;
        reason = errno;
    }
    if (good) return true;
    bw_fail(err, BW_IO, "cannot be written: %s", strerror(reason));
    bw_err_file(err, name);
    return false;
}

bool bw_write(struct bw_cli *cli, const char *name, struct bw_buffer *buffer, struct bw_err *err) {
    bool good = !buffer->failed && !bw_arena_failed(cli->arena);
    if (!good) {
        bw_fail_memory(err);
    } else if (buffer->length > 0 && strcmp(name, "-") == 0) {
        good = fwrite(buffer->data, 1, buffer->length, cli->out) == buffer->length;
        if (!good) bw_fail(err, BW_IO, "writing the answer failed: %s", strerror(errno));
    } else if (buffer->length > 0) {
        good = write_file(name, buffer, err);
    }
    bw_buffer_free(buffer);
    return good;
}
