// server.h - HTTP in, exchanges out: one event loop, one thread.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_WEB_SERVER_H
#define BW_WEB_SERVER_H

#include "base/err.h"

// A photo of 100 megapixels as JPEG has 40 MB; two of them in one form.
#define BW_MAX_UPLOAD_BYTES ((size_t)96 << 20)
// All the text of one form, or a JSON body: documents are 1 MiB at most.
#define BW_MAX_FORM_BYTES ((size_t)2 << 20)
// Values of one form: a list of forty items of a dozen fields.
#define BW_MAX_FORM_PARTS 1000
// Request line and headers; browsers send one or two kilobytes.
#define BW_MAX_HEADER_BYTES 32768
// Phones and a bench screen, each with a few connections.
#define BW_MAX_CONNECTIONS 64
// A connection on which nothing comes.
#define BW_MAX_IDLE_SECONDS 30
// One study, by the clock.
#define BW_MAX_STUDY_SECONDS 120

struct bw_server_options {
    int port;                 // 0: any free one
    const char *folder;       // documents that forms offer; NULL: none
    const char *program;      // the server itself, started anew for each study
    int watch;                // becomes readable when the server is to end (a signalfd)
    void (*ready)(int port);  // told once it listens; may be NULL
};

// Serves 127.0.0.1 until `watch` is readable, then lets what is being answered go. Errors: BW_IO
// (the port is taken), BW_MEMORY, BW_FAILED.
bool bw_server_run(const struct bw_server_options *options, struct bw_err *err) BW_CHECKED;

#endif
