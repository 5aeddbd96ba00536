// worker.h - one study run in a process of its own, for the server.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_WEB_WORKER_H
#define BW_WEB_WORKER_H

// Where the server puts things for the worker.
enum {
    BW_WORKER_REQUEST = 3,  // the message, from its start
    BW_WORKER_RESULT = 4,   // empty, to be written
    BW_WORKER_FILES = 5     // the first of the files, in the order the message names them
};

// Reads the request and writes the result, both as pack.h says. Request: "study", "units" (si, us),
// "input" (JSON), and "file" with a name for each file. Result on success: "answer" (JSON), "words"
// (HTML), "findings" (JSON), and "plot" (SVG without style) for each plot; on failure: "error"
// (error/1 JSON), "status" (HTTP) and, as text, "what", "file", "line", "field", "value", "mend".
// Returns the exit status, 0 whenever a result could be written.
int bw_worker_main(void);

#endif
