// module.c - the store on a server, loaded when a URL asks for it.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Its client library would cost every start of the program some milliseconds, so it lies in a
// module of its own beside the program.
#include "store/store.h"

#include <dlfcn.h>
#include <string.h>
#include <unistd.h>

#define MODULE "beltwright-store-postgres.so"

// The folder of this very program, then ../libexec/beltwright.
static bool path_of(const char *place, struct bw_buffer *out) {
    char self[4096];
    ssize_t n = readlink("/proc/self/exe", self, sizeof self - 1);
    if (n <= 0) return false;
    self[n] = '\0';
    char *slash = strrchr(self, '/');
    if (slash == NULL) return false;
    slash[1] = '\0';
    bw_buffer_format(out, "%s%s" MODULE, self, place);
    return !out->failed;
}

static void *load(const char *place) {
    struct bw_buffer path = {0};
    void *module = NULL;
    if (path_of(place, &path)) module = dlopen(path.data, RTLD_NOW | RTLD_LOCAL);
    bw_buffer_free(&path);
    return module;
}

// The module stays loaded to the program's end.
bool bw_store_module_open(const char *url, struct bw_store **out, struct bw_err *err) {
    void *module = load("");
    if (module == NULL) module = load("../libexec/beltwright/");
    if (module == NULL) {
        bw_err_mend(err, "install " MODULE " and PostgreSQL's client library (libpq5)");
        return bw_fail(err, BW_UNSUPPORTED, "stores on a server are not installed: %s", dlerror());
    }
    const struct bw_store_module *store = dlsym(module, "bw_store_postgres");
    if (store == NULL || strcmp(store->version, BELTWRIGHT_VERSION) != 0) {
        (void)dlclose(module);
        bw_err_mend(err, "install both from one release");
        return bw_fail(err, BW_UNSUPPORTED, MODULE " is of another version than the program");
    }
    return store->open(url, out, err);
}
