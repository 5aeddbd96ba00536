// server.c - see server.h. libmicrohttpd reads and writes; it is run from our own poll loop.
// SPDX-License-Identifier: GPL-3.0-or-later
#define _GNU_SOURCE  // getrandom, O_TMPFILE
#include "web/server.h"

#include "base/alloc.h"
#include "base/utf8.h"
#include "web/exchange.h"

#include <arpa/inet.h>
#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/random.h>
#include <sys/socket.h>
#include <unistd.h>

// What HTTP needs to know of an exchange.
struct talk {
    struct bw_exchange exchange;
    struct talk *before, *after;  // of those waiting for a worker
    struct MHD_Connection *connection;
    struct MHD_PostProcessor *form;
    struct bw_buffer text;        // of the part that is coming, or the JSON body
    struct bw_part *open, *last;  // the part that is coming; the end of the list
    size_t form_bytes, file_bytes, n_parts;
    int refused;  // a status: the body was too large or no form
    bool suspended, answered;
};

struct server {
    struct bw_web web;
    struct MHD_Daemon *daemon;
    struct talk *waiting;
    int port;
    char host[32];
};

// ---- beginning and end of an exchange ----

static const char *header(struct talk *talk, const char *name) {
    const char *value = MHD_lookup_connection_value(talk->connection, MHD_HEADER_KIND, name);
    return value == NULL ? "" : value;
}

static void add_part(struct talk *talk, struct bw_part *part) {
    if (talk->last == NULL)
        talk->exchange.parts = part;
    else
        talk->last->next = part;
    talk->last = part;
    talk->n_parts++;
}

static struct bw_part *new_part(struct talk *talk, const char *name) {
    struct bw_part *part = bw_arena_get(talk->exchange.arena, sizeof *part);
    if (part == NULL) return NULL;
    *part = (struct bw_part){
        .name = bw_arena_text(talk->exchange.arena, name, strlen(name)), .text = "", .fd = -1};
    return part->name == NULL ? NULL : part;
}

// Text that is no UTF-8 is taken as nothing: no page of ours sends it.
static bool set_text(struct talk *talk, struct bw_part *part, const char *text, size_t length) {
    if (!bw_utf8_valid(text, length) || memchr(text, '\0', length) != NULL) length = 0;
    part->text = bw_arena_text(talk->exchange.arena, text, length);
    part->length = length;
    return part->text != NULL;
}

static enum MHD_Result take_argument(void *with, enum MHD_ValueKind kind, const char *key,
                                     const char *value) {
    struct talk *talk = with;
    (void)kind;
    struct bw_part *part = talk->n_parts < BW_MAX_FORM_PARTS ? new_part(talk, key) : NULL;
    if (part == NULL) return MHD_NO;
    if (value != NULL && !set_text(talk, part, value, strlen(value))) return MHD_NO;
    add_part(talk, part);
    return MHD_YES;
}

static struct talk *talk_new(struct server *server, struct MHD_Connection *connection,
                             const char *path) {
    struct talk *talk = bw_alloc_zero(1, sizeof *talk);
    if (talk == NULL) return NULL;
    talk->connection = connection;
    talk->exchange.web = &server->web;
    talk->exchange.private = talk;
    talk->exchange.arena = bw_arena_new(0);
    if (talk->exchange.arena != NULL)
        talk->exchange.path = bw_arena_text(talk->exchange.arena, path, strlen(path));
    if (talk->exchange.path == NULL) {
        bw_arena_free(talk->exchange.arena);
        bw_free(talk);
        return NULL;
    }
    const char *units = MHD_lookup_connection_value(connection, MHD_COOKIE_KIND, "units");
    talk->exchange.units = units != NULL && strcmp(units, "us") == 0 ? BW_UNITS_US : BW_UNITS_SI;
    return talk;
}

static void talk_free(struct talk *talk) {
    struct bw_exchange *exchange = &talk->exchange;
    if (exchange->waiting) bw_work_cancel(exchange->web->work, exchange);
    if (talk->form != NULL) (void)MHD_destroy_post_processor(talk->form);
    for (const struct bw_part *part = exchange->parts; part != NULL; part = part->next)
        if (part->fd >= 0) (void)close(part->fd);
    if (talk->open != NULL && talk->open->fd >= 0) (void)close(talk->open->fd);
    for (size_t i = 0; i < exchange->n_opened; i++) (void)close(exchange->opened[i]);
    bw_buffer_free(&talk->text);
    bw_buffer_free(&exchange->request);
    bw_buffer_free(&exchange->response.body);
    bw_arena_free(exchange->arena);
    bw_free(talk);
}

static void completed(void *with, struct MHD_Connection *connection, void **state,
                      enum MHD_RequestTerminationCode why) {
    (void)with;
    (void)connection;
    (void)why;
    if (*state != NULL) talk_free(*state);
    *state = NULL;
}

// ---- forms ----

// A file without a name in any folder; where that cannot be had, in memory.
static int spool(void) {
    int fd = open("/tmp", O_TMPFILE | O_RDWR | O_CLOEXEC, 0600);
    return fd >= 0 ? fd : memfd_create("beltwright-upload", MFD_CLOEXEC);
}

static const char *bare_name(struct talk *talk, const char *name) {
    const char *slash = strrchr(name, '/'), *back = strrchr(name, '\\');
    if (slash != NULL) name = slash + 1;
    if (back != NULL && back >= name) name = back + 1;
    size_t length = bw_utf8_cut(name, strlen(name) > 120 ? 120 : strlen(name));
    if (!bw_utf8_valid(name, length)) return "file";
    return bw_arena_text(talk->exchange.arena, name, length);
}

// The part that was coming is whole. A file control left empty sends a file of no bytes.
static bool close_part(struct talk *talk) {
    struct bw_part *part = talk->open;
    if (part == NULL) return true;
    talk->open = NULL;
    if (part->fd >= 0) {
        bool empty = lseek(part->fd, 0, SEEK_CUR) == 0;
        bool rewound = lseek(part->fd, 0, SEEK_SET) == 0;
        if (empty || !rewound) {
            (void)close(part->fd);
            part->fd = -1;
            if (!empty) return false;
        }
    } else {
        const char *text = talk->text.data == NULL ? "" : talk->text.data;
        if (talk->text.failed || !set_text(talk, part, text, talk->text.length)) return false;
    }
    bw_buffer_free(&talk->text);
    add_part(talk, part);
    return true;
}

static bool open_part(struct talk *talk, const char *key, const char *file_name) {
    if (!close_part(talk) || talk->n_parts >= BW_MAX_FORM_PARTS) return false;
    struct bw_part *part = new_part(talk, key);
    if (part == NULL) return false;
    talk->open = part;
    if (file_name == NULL) return true;
    part->file_name = bare_name(talk, file_name);
    part->fd = spool();
    return part->fd >= 0 && part->file_name != NULL;
}

static bool add_file_bytes(struct talk *talk, const char *data, size_t size) {
    talk->file_bytes += size;
    if (talk->file_bytes > BW_MAX_UPLOAD_BYTES) {
        talk->refused = MHD_HTTP_CONTENT_TOO_LARGE;
        return false;
    }
    for (size_t done = 0; done < size;) {
        ssize_t n = write(talk->open->fd, data + done, size - done);
        if (n <= 0) {
            talk->refused = MHD_HTTP_INSUFFICIENT_STORAGE;
            return false;
        }
        done += (size_t)n;
    }
    return true;
}

static bool add_text_bytes(struct talk *talk, const char *data, size_t size) {
    talk->form_bytes += size;
    if (talk->form_bytes > BW_MAX_FORM_BYTES) {
        talk->refused = MHD_HTTP_CONTENT_TOO_LARGE;
        return false;
    }
    bw_buffer_add(&talk->text, data, size);
    return !talk->text.failed;
}

static enum MHD_Result take_form(void *with, enum MHD_ValueKind kind, const char *key,
                                 const char *file_name, const char *type, const char *coding,
                                 const char *data, uint64_t offset, size_t size) {
    struct talk *talk = with;
    (void)kind;
    (void)type;
    (void)coding;
    if (talk->refused != 0) return MHD_NO;
    bool begins = offset == 0;
    bool good = !begins || open_part(talk, key, file_name);
    if (good && size > 0)
        good = talk->open->fd >= 0 ? add_file_bytes(talk, data, size)
                                   : add_text_bytes(talk, data, size);
    if (!good && talk->refused == 0) talk->refused = MHD_HTTP_BAD_REQUEST;
    return good ? MHD_YES : MHD_NO;
}

// ---- answering ----

static void security_headers(struct MHD_Response *response) {
    static const char *const HEADERS[][2] = {
        {"Content-Security-Policy",
         "default-src 'none'; style-src 'self'; img-src 'self' data:; form-action 'self'; "
         "base-uri 'none'; frame-ancestors 'none'"},
        {"X-Content-Type-Options", "nosniff"},
        {"Referrer-Policy", "same-origin"},  // with none a browser hides the Origin as well
        {"Cross-Origin-Opener-Policy", "same-origin"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
    };
    for (size_t i = 0; i < sizeof HEADERS / sizeof HEADERS[0]; i++)
        (void)MHD_add_response_header(response, HEADERS[i][0], HEADERS[i][1]);
}

static enum MHD_Result send_answer(struct talk *talk) {
    struct bw_response *answer = &talk->exchange.response;
    if (answer->body.failed) {
        bw_buffer_free(&answer->body);
        *answer = (struct bw_response){.status = 503, .type = "text/plain; charset=utf-8"};
        bw_buffer_text(&answer->body, "out of memory\n");
    }
    struct MHD_Response *response = MHD_create_response_from_buffer(
        answer->body.length, answer->body.data, MHD_RESPMEM_MUST_COPY);
    if (response == NULL) return MHD_NO;
    security_headers(response);
    (void)MHD_add_response_header(response, "Content-Type", answer->type);
    (void)MHD_add_response_header(response, "Cache-Control",
                                  answer->keep ? "private, max-age=31536000, immutable"
                                               : "no-store");
    if (answer->location != NULL)
        (void)MHD_add_response_header(response, "Location", answer->location);
    if (answer->cookie != NULL)
        (void)MHD_add_response_header(response, "Set-Cookie", answer->cookie);
    if (answer->status == 503) (void)MHD_add_response_header(response, "Retry-After", "2");
    if (answer->status == 405) (void)MHD_add_response_header(response, "Allow", "GET, HEAD, POST");
    enum MHD_Result sent = MHD_queue_response(talk->connection, (unsigned)answer->status, response);
    MHD_destroy_response(response);
    talk->answered = true;
    return sent;
}

static enum MHD_Result refuse(struct talk *talk, int status, const char *what, const char *mend) {
    bw_web_trouble(&talk->exchange, status, what, mend);
    return send_answer(talk);
}

static enum MHD_Result refuse_body(struct talk *talk) {
    if (talk->refused == MHD_HTTP_CONTENT_TOO_LARGE)
        return refuse(
            talk, talk->refused, "That is more than this server takes at once.",
            "Send fewer or smaller files: 96 MiB of files and 2 MiB of text in one form.");
    if (talk->refused == MHD_HTTP_INSUFFICIENT_STORAGE)
        return refuse(talk, talk->refused, "There is no room left on the disk.",
                      "Make room and send it again.");
    return refuse(talk, talk->refused, "What was sent is no form.", "Load the page anew.");
}

static void suspend(struct server *server, struct talk *talk) {
    talk->suspended = true;
    talk->after = server->waiting;
    if (talk->after != NULL) talk->after->before = talk;
    server->waiting = talk;
    MHD_suspend_connection(talk->connection);
}

static void resume(struct server *server, struct talk *talk) {
    if (!talk->suspended) return;  // the worker could not even be started
    talk->suspended = false;
    if (talk->after != NULL) talk->after->before = talk->before;
    if (talk->before != NULL)
        talk->before->after = talk->after;
    else
        server->waiting = talk->after;
    talk->before = talk->after = NULL;
    MHD_resume_connection(talk->connection);
}

// Called in the loop when the worker is done.
static void wake(struct bw_exchange *exchange) {
    resume((struct server *)exchange->web, exchange->private);  // web is the server's first member
}

// Before the end: whoever still waits is told so.
static void dismiss(struct server *server) {
    while (server->waiting != NULL) {
        struct talk *talk = server->waiting;
        bw_work_cancel(server->web.work, &talk->exchange);
        talk->exchange.waiting = false;
        bw_web_trouble(&talk->exchange, 503, "The server has been ended.", "");
        resume(server, talk);
    }
    if (server->daemon != NULL) (void)MHD_run(server->daemon);
}

// ---- a request, in the order its pieces come ----

// Another name for this machine is another site's page in a browser here.
static bool is_our_host(const struct server *server, const char *host) {
    char local[32];
    (void)snprintf(local, sizeof local, "localhost:%d", server->port);
    return strcmp(host, server->host) == 0 || strcmp(host, local) == 0;
}

static bool is_our_page(const struct server *server, const char *origin) {
    if (origin[0] == '\0') return true;
    return strncmp(origin, "http://", 7) == 0 && is_our_host(server, origin + 7);
}

static bool is_json(const char *type) {
    size_t length = strcspn(type, "; ");
    return length == strlen("application/json") && strncmp(type, "application/json", length) == 0;
}

static enum MHD_Result begin(struct server *server, struct talk *talk, const char *method) {
    bool post = strcmp(method, "POST") == 0;
    bool get = strcmp(method, "GET") == 0 || strcmp(method, "HEAD") == 0;
    talk->exchange.method = post ? BW_POST : BW_GET;
    if (!is_our_host(server, header(talk, "Host")))
        return refuse(talk, 421, "This server goes by another name.", "Use its own address.");
    if (!get && !post) return refuse(talk, 405, "This cannot be asked that way.", "");
    if (MHD_get_connection_values(talk->connection, MHD_GET_ARGUMENT_KIND, take_argument, talk) < 0)
        return MHD_NO;
    if (!post) return MHD_YES;
    if (!is_our_page(server, header(talk, "Origin")))
        return refuse(talk, 403, "This was sent by a page of another site.", "");
    const char *type = header(talk, "Content-Type");
    if (is_json(type)) {
        talk->exchange.body = "";
        return MHD_YES;
    }
    talk->form = MHD_create_post_processor(talk->connection, 65536, take_form, talk);
    if (talk->form == NULL) return refuse(talk, 415, "What was sent is no form.", "");
    return MHD_YES;
}

// A body that is too large is swallowed to its end, so that the sender reads why.
static void take_body(struct talk *talk, const char *data, size_t size) {
    if (talk->refused != 0) return;
    if (talk->form == NULL) {
        if (!add_text_bytes(talk, data, size) && talk->refused == 0)
            talk->refused = MHD_HTTP_CONTENT_TOO_LARGE;
    } else if (MHD_post_process(talk->form, data, size) != MHD_YES && talk->refused == 0) {
        talk->refused = MHD_HTTP_BAD_REQUEST;
    }
}

static bool end_body(struct talk *talk) {
    if (talk->form != NULL) {
        enum MHD_Result whole = MHD_destroy_post_processor(talk->form);
        talk->form = NULL;
        if (whole != MHD_YES || !close_part(talk)) talk->refused = MHD_HTTP_BAD_REQUEST;
    } else if (talk->exchange.body != NULL && talk->text.length > 0) {
        talk->exchange.body = talk->text.data;
        if (memchr(talk->text.data, '\0', talk->text.length) != NULL)
            talk->refused = MHD_HTTP_BAD_REQUEST;
    }
    return talk->refused == 0;
}

static enum MHD_Result end(struct server *server, struct talk *talk) {
    if (talk->answered) return MHD_YES;
    if (talk->exchange.response.status == 0) {
        if (talk->refused != 0 || !end_body(talk)) return refuse_body(talk);
        bw_route_run(&talk->exchange);
        if (talk->exchange.waiting) {
            suspend(server, talk);
            return MHD_YES;
        }
    }
    return send_answer(talk);
}

static enum MHD_Result handle(void *with, struct MHD_Connection *connection, const char *path,
                              const char *method, const char *version, const char *data,
                              size_t *size, void **state) {
    struct server *server = with;
    struct talk *talk = *state;
    (void)version;
    if (talk == NULL) {
        talk = talk_new(server, connection, path);
        *state = talk;
        return talk == NULL ? MHD_NO : begin(server, talk, method);
    }
    if (*size > 0) {
        take_body(talk, data, *size);
        *size = 0;
        return MHD_YES;
    }
    return end(server, talk);
}

// ---- the loop ----

static int listen_on(int port, int *port_out, struct bw_err *err) {
    struct sockaddr_in at = {.sin_family = AF_INET,
                             .sin_port = htons((uint16_t)port),
                             .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    socklen_t size = sizeof at;
    int one = 1, fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    if (fd >= 0 && setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &one, sizeof one) == 0 &&
        bind(fd, (const struct sockaddr *)&at, size) == 0 && listen(fd, 64) == 0 &&
        getsockname(fd, (struct sockaddr *)&at, &size) == 0) {
        *port_out = ntohs(at.sin_port);
        return fd;
    }
    int number = errno;
    if (fd >= 0) (void)close(fd);
    bw_fail(err, BW_IO, "port %d cannot be served: %s", port, strerror(number));
    if (number == EADDRINUSE)
        bw_err_mend(err, "another program has it, perhaps this one already; choose another --port");
    return -1;
}

static bool make_token(char token[static 33]) {
    static const char DIGITS[] = "0123456789abcdef";
    unsigned char bytes[16];
    if (getrandom(bytes, sizeof bytes, 0) != (ssize_t)sizeof bytes) return false;
    for (size_t i = 0; i < 32; i++) token[i] = DIGITS[bytes[i / 2] >> (i % 2 == 0 ? 4 : 0) & 15];
    token[32] = '\0';
    return true;
}

static int sleep_ms(const struct server *server) {
    unsigned long long until;
    int patience = bw_work_patience(server->web.work);
    if (MHD_get_timeout(server->daemon, &until) == MHD_YES &&
        (patience < 0 || until < (unsigned long long)patience))
        patience = until > 60000 ? 60000 : (int)until;
    return patience;
}

static bool turn(struct server *server, int epoll, int watch) {
    struct pollfd fds[2 + 64] = {{.fd = watch, .events = POLLIN}, {.fd = epoll, .events = POLLIN}};
    size_t n = 2 + bw_work_poll(server->web.work, fds + 2, 64);
    if (poll(fds, (nfds_t)n, sleep_ms(server)) < 0 && errno != EINTR) return false;
    if ((fds[0].revents & POLLIN) != 0) return false;
    bw_work_tend(server->web.work);
    return MHD_run(server->daemon) == MHD_YES;
}

static struct MHD_Daemon *start(struct server *server, int fd) {
    const struct MHD_OptionItem items[] = {
        {MHD_OPTION_LISTEN_SOCKET, fd, NULL},
        {MHD_OPTION_CONNECTION_LIMIT, BW_MAX_CONNECTIONS, NULL},
        {MHD_OPTION_CONNECTION_TIMEOUT, BW_MAX_IDLE_SECONDS, NULL},
        {MHD_OPTION_CONNECTION_MEMORY_LIMIT, BW_MAX_HEADER_BYTES, NULL},
        {MHD_OPTION_NOTIFY_COMPLETED, (intptr_t)completed, NULL},
        {MHD_OPTION_END, 0, NULL},
    };
    return MHD_start_daemon(MHD_USE_EPOLL | MHD_ALLOW_SUSPEND_RESUME, 0, NULL, NULL, handle, server,
                            MHD_OPTION_ARRAY, items, MHD_OPTION_END);
}

static bool serve(struct server *server, int fd, const struct bw_server_options *options,
                  struct bw_err *err) {
    server->daemon = start(server, fd);
    const union MHD_DaemonInfo *info =
        server->daemon == NULL ? NULL
                               : MHD_get_daemon_info(server->daemon, MHD_DAEMON_INFO_EPOLL_FD);
    if (info == NULL) return bw_fail(err, BW_FAILED, "the server could not be started");
    if (options->ready != NULL) options->ready(server->port);
    while (turn(server, info->epoll_fd, options->watch)) continue;
    dismiss(server);
    return true;
}

bool bw_server_run(const struct bw_server_options *options, struct bw_err *err) {
    struct server server = {.web = {.folder = options->folder, .wake = wake}};
    if (!make_token(server.web.token))
        return bw_fail(err, BW_FAILED, "no random numbers to be had");
    int fd = listen_on(options->port, &server.port, err);
    if (fd < 0) return false;
    (void)snprintf(server.host, sizeof server.host, "127.0.0.1:%d", server.port);
    server.web.host = server.host;
    server.web.work = bw_work_new(options->program, "worker", BW_MAX_STUDY_SECONDS);
    bool done = server.web.work != NULL ? serve(&server, fd, options, err) : bw_fail_memory(err);
    if (server.daemon != NULL)
        MHD_stop_daemon(server.daemon);  // closes the socket; tells of every exchange
    else
        (void)close(fd);
    bw_work_free(server.web.work);
    return done;
}
