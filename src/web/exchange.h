// exchange.h - one request and its response, as the pages see them; HTTP itself is server.c's.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_WEB_EXCHANGE_H
#define BW_WEB_EXCHANGE_H

#include "base/arena.h"
#include "base/buffer.h"
#include "base/quantity.h"
#include "web/work.h"

// One named value of a query or a form; a file that was sent has a descriptor.
struct bw_part {
    const char *name;
    const char *text;  // NUL-terminated, valid UTF-8; "" for files
    size_t length;
    int fd;                 // at the file's start; -1: no file
    const char *file_name;  // as the sender calls it, without folders; NULL: no file
    struct bw_part *next;
};

enum bw_method { BW_GET, BW_POST };

struct bw_exchange;
struct bw_web;

struct bw_response {
    int status;
    const char *type;  // of the body
    struct bw_buffer body;
    const char *location;  // where to go next (303); NULL: none
    const char *cookie;    // to be set; NULL: none
    bool keep;             // may be kept for a year: its address changes with its content
};

struct bw_exchange {
    struct bw_web *web;
    struct bw_arena *arena;  // lives as long as the exchange
    enum bw_method method;
    const char *path;       // decoded, begins with '/'
    const char *rest;       // of the path, where the route ends in '*'
    const char *body;       // of a JSON request, NUL-terminated; NULL: a form or nothing
    struct bw_part *parts;  // query, then form, in order
    enum bw_units units;    // what the reader chose
    bool waiting;           // for a worker; answered when it is done
    struct bw_response response;
    // What is being asked of the worker.
    struct bw_buffer request;
    int files[BW_MAX_WORK_FILES];  // borrowed from parts, or opened by the page and in `opened`
    size_t n_files;
    int opened[BW_MAX_WORK_FILES];
    size_t n_opened;
    void *page;     // the page's own, until the worker is done
    void *private;  // server.c's
};

// What all exchanges share.
struct bw_web {
    struct bw_work *work;
    const char *folder;  // documents that forms offer; NULL: none
    char token[33];      // stands in every form, so that no other site can post one
    const char *host;    // "127.0.0.1:8137"
    void (*wake)(struct bw_exchange *exchange);  // answers a waiting exchange
};

// The first part of that name, or NULL; its text, or "".
const struct bw_part *bw_part_find(const struct bw_exchange *exchange, const char *name);
const char *bw_part_text(const struct bw_exchange *exchange, const char *name);

// A route's page: fills the response, or sets `waiting`. false: out of memory.
typedef bool bw_page_run(struct bw_exchange *exchange);
struct bw_route {
    enum bw_method method;
    const char *path;  // "/study/*": anything may stand for the star but "" and what holds a '/'
    bw_page_run *run;
};

// Finds the page and runs it; no page, a wrong method or a wrong token is answered here.
void bw_route_run(struct bw_exchange *exchange);

// The study, its input and the files go to a worker; `done` is called with the result (see work.h)
// and fills the response. false: too much is waiting, answered with 503.
bool bw_exchange_work(struct bw_exchange *exchange,
                      void (*done)(void *with, const char *result, size_t length, const char *why));
// A file for the worker, under a name; an `opened` one is closed with the exchange.
bool bw_exchange_file(struct bw_exchange *exchange, const char *name, int fd, bool opened);

// --- the pages
bw_page_run bw_web_home, bw_web_settings, bw_web_style, bw_web_health, bw_web_study,
    bw_web_study_run, bw_web_api_list, bw_web_api_study, bw_web_api_run, bw_web_api_document;
// A page that says what went wrong.
void bw_web_trouble(struct bw_exchange *exchange, int status, const char *what, const char *mend);

#endif
