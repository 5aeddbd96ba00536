// work.h - the workers of a server: a few at once, a short queue, each with its limits.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The server never computes: a study runs in a child process, which may crash, hang or grow without
// harm. One worker a processor, as many again waiting as BW_MAX_WORK_QUEUE says; more are turned
// away. Nothing here blocks.
#ifndef BW_WEB_WORK_H
#define BW_WEB_WORK_H

#include "base/buffer.h"
#include "base/err.h"

#include <poll.h>

// Waiting tasks; a shop has a handful of phones, and each waits a second or two.
#define BW_MAX_WORK_QUEUE 16
// Files that go along with one task.
#define BW_MAX_WORK_FILES 16

struct bw_work;

// What is to be done. Everything borrowed until `done` was called or the task cancelled.
struct bw_task {
    const struct bw_buffer *request;  // as worker.h says
    const int *files;                 // descriptors, open for reading
    size_t n_files;
    // The result as worker.h says, borrowed; NULL: there is none, and `why` says so.
    void (*done)(void *with, const char *result, size_t length, const char *why);
    void *with;
};

// `program` is started for each task with the one argument `word`; `seconds` is all the time it
// has. NULL: out of memory.
struct bw_work *bw_work_new(const char *program, const char *word, int seconds);
// Kills what runs; nobody is told.
void bw_work_free(struct bw_work *work);

// Starts the task or puts it into the queue. false: both are full; `done` will not be called.
bool bw_work_add(struct bw_work *work, const struct bw_task *task) BW_CHECKED;
// Forgets the tasks that report to `with`, killing what runs.
void bw_work_cancel(struct bw_work *work, const void *with);

// For the loop: descriptors to be polled for reading into fds[0 .. most), their number; how long to
// sleep at most, ms, -1: for ever; and what to do after every sleep.
size_t bw_work_poll(const struct bw_work *work, struct pollfd *fds, size_t most);
int bw_work_patience(const struct bw_work *work);
void bw_work_tend(struct bw_work *work);

#endif
