// torn.c - see torn.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/torn.h"

#include "support/jobs.h"

#include <setjmp.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#define MOST_FILES 8
#define SECTOR 512

struct written {  // a write, or (bytes NULL) a cut to length `at`
    int64_t at;
    int length;
    unsigned char *bytes;
    struct written *next;
};

struct image {
    char path[512];
    unsigned char *synced;  // content at the last sync
    int64_t length;
    struct written *first, *last;
};

struct torn_file {
    sqlite3_file base;
    struct image *image;  // NULL: temporary
    sqlite3_file *real;   // behind this struct
};

static struct image images[MOST_FILES];
static int n_images;
static long writes_left;
static enum torn_fault fault;
static bool happened;
static sqlite3_vfs *below;

static bool is_off(void) { return happened && fault == TORN_POWER; }

static struct image *image_of(const char *path) {
    for (int i = 0; i < n_images; i++)
        if (strcmp(images[i].path, path) == 0) return &images[i];
    assert_true(n_images < MOST_FILES);
    struct image *image = &images[n_images++];
    (void)snprintf(image->path, sizeof image->path, "%s", path);
    return image;
}

static void forget_writes(struct image *image) {
    while (image->first != NULL) {
        struct written *next = image->first->next;
        free(image->first->bytes);
        free(image->first);
        image->first = next;
    }
    image->last = NULL;
}

static void note_write(struct image *image, const void *bytes, int length, int64_t at) {
    struct written *written = calloc(1, sizeof *written);
    assert_non_null(written);
    written->at = at;
    written->length = length;
    if (bytes != NULL) {
        written->bytes = malloc((size_t)length + 1);
        assert_non_null(written->bytes);
        memcpy(written->bytes, bytes, (size_t)length);
    }
    if (image->last == NULL)
        image->first = written;
    else
        image->last->next = written;
    image->last = written;
}

static void grow(struct image *image, int64_t length) {
    if (length <= image->length) return;
    image->synced = realloc(image->synced, (size_t)length);
    assert_non_null(image->synced);
    memset(image->synced + image->length, 0, (size_t)(length - image->length));
    image->length = length;
}

static void apply(struct image *image, const struct written *written, int length) {
    if (written->bytes == NULL) {
        grow(image, written->at);
        image->length = written->at;
        return;
    }
    grow(image, written->at + length);
    memcpy(image->synced + written->at, written->bytes, (size_t)length);
}

// ---- SQLite's interface -------------------------------------------------------------------------

static struct torn_file *torn(sqlite3_file *file) { return (struct torn_file *)file; }

// What a write may do: 0 goes on, else the error.
static int may_write(void) {
    if (!happened && writes_left > 0 && --writes_left == 0) happened = true;
    if (!happened) return SQLITE_OK;
    return fault == TORN_FULL        ? SQLITE_FULL
           : fault == TORN_READ_ONLY ? SQLITE_READONLY
                                     : SQLITE_IOERR;
}

static int torn_close(sqlite3_file *file) {
    return torn(file)->real->pMethods->xClose(torn(file)->real);
}

static int torn_read(sqlite3_file *file, void *to, int n, sqlite3_int64 at) {
    if (is_off()) return SQLITE_IOERR_READ;
    return torn(file)->real->pMethods->xRead(torn(file)->real, to, n, at);
}

static int torn_write(sqlite3_file *file, const void *bytes, int n, sqlite3_int64 at) {
    int result = may_write();
    if (result != SQLITE_OK) return result;
    if (torn(file)->image != NULL) note_write(torn(file)->image, bytes, n, at);
    return torn(file)->real->pMethods->xWrite(torn(file)->real, bytes, n, at);
}

static int torn_truncate(sqlite3_file *file, sqlite3_int64 size) {
    int result = may_write();
    if (result != SQLITE_OK) return result;
    if (torn(file)->image != NULL) note_write(torn(file)->image, NULL, 0, size);
    return torn(file)->real->pMethods->xTruncate(torn(file)->real, size);
}

static int torn_sync(sqlite3_file *file, int flags) {
    (void)flags;
    if (is_off()) return SQLITE_IOERR_FSYNC;
    struct image *image = torn(file)->image;
    if (image == NULL) return SQLITE_OK;
    for (struct written *at = image->first; at != NULL; at = at->next) apply(image, at, at->length);
    forget_writes(image);
    return SQLITE_OK;
}

static int torn_size(sqlite3_file *file, sqlite3_int64 *size) {
    return torn(file)->real->pMethods->xFileSize(torn(file)->real, size);
}
static int torn_lock(sqlite3_file *file, int lock) {
    return torn(file)->real->pMethods->xLock(torn(file)->real, lock);
}
static int torn_unlock(sqlite3_file *file, int lock) {
    return torn(file)->real->pMethods->xUnlock(torn(file)->real, lock);
}
static int torn_reserved(sqlite3_file *file, int *out) {
    return torn(file)->real->pMethods->xCheckReservedLock(torn(file)->real, out);
}
static int torn_control(sqlite3_file *file, int op, void *with) {
    return torn(file)->real->pMethods->xFileControl(torn(file)->real, op, with);
}
static int torn_sector(sqlite3_file *file) {
    return torn(file)->real->pMethods->xSectorSize(torn(file)->real);
}
// No promise about power or order.
static int torn_kind(sqlite3_file *file) {
    (void)file;
    return 0;
}
static int torn_map(sqlite3_file *file, int page, int size, int extend, void volatile **out) {
    return torn(file)->real->pMethods->xShmMap(torn(file)->real, page, size, extend, out);
}
static int torn_shm_lock(sqlite3_file *file, int at, int n, int flags) {
    return torn(file)->real->pMethods->xShmLock(torn(file)->real, at, n, flags);
}
static void torn_barrier(sqlite3_file *file) {
    torn(file)->real->pMethods->xShmBarrier(torn(file)->real);
}
static int torn_unmap(sqlite3_file *file, int delete) {
    return torn(file)->real->pMethods->xShmUnmap(torn(file)->real, delete);
}

static const sqlite3_io_methods METHODS = {
    .iVersion = 2,
    .xClose = torn_close,
    .xRead = torn_read,
    .xWrite = torn_write,
    .xTruncate = torn_truncate,
    .xSync = torn_sync,
    .xFileSize = torn_size,
    .xLock = torn_lock,
    .xUnlock = torn_unlock,
    .xCheckReservedLock = torn_reserved,
    .xFileControl = torn_control,
    .xSectorSize = torn_sector,
    .xDeviceCharacteristics = torn_kind,
    .xShmMap = torn_map,
    .xShmLock = torn_shm_lock,
    .xShmBarrier = torn_barrier,
    .xShmUnmap = torn_unmap,
};

static int torn_open(sqlite3_vfs *vfs, const char *name, sqlite3_file *file, int flags, int *out) {
    (void)vfs;
    struct torn_file *opened = torn(file);
    memset(opened, 0, sizeof *opened);
    opened->real = (sqlite3_file *)(opened + 1);
    if (is_off()) return SQLITE_CANTOPEN;
    int result = below->xOpen(below, name, opened->real, flags, out);
    if (result != SQLITE_OK) return result;
    if (name != NULL && (flags & (SQLITE_OPEN_MAIN_DB | SQLITE_OPEN_WAL)) != 0)
        opened->image = image_of(name);
    opened->base.pMethods = &METHODS;
    return SQLITE_OK;
}

void torn_install(void) {
    static sqlite3_vfs vfs;
    below = sqlite3_vfs_find(NULL);
    assert_non_null(below);
    vfs = *below;
    vfs.zName = "torn";
    vfs.szOsFile = (int)sizeof(struct torn_file) + below->szOsFile;
    vfs.xOpen = torn_open;
    assert_int_equal(sqlite3_vfs_register(&vfs, 1), SQLITE_OK);
}

// ---- faults -------------------------------------------------------------------------------------

static void forget_images(void) {
    for (int i = 0; i < MOST_FILES; i++) {  // an open file may still write to one forgotten before
        forget_writes(&images[i]);
        free(images[i].synced);
    }
    memset(images, 0, sizeof images);
    n_images = 0;
}

void torn_begin(long writes, enum torn_fault which) {
    forget_images();
    writes_left = writes;
    fault = which;
    happened = false;
}

bool torn_happened(void) { return happened; }

static void put_back(const struct image *image) {
    FILE *file = fopen(image->path, "wb");
    assert_non_null(file);
    size_t length = (size_t)image->length;
    if (length > 0) assert_int_equal(fwrite(image->synced, 1, length, file), length);
    assert_int_equal(fclose(file), 0);
}

// A third of the unsynced writes is kept, a third dropped, a third torn at a sector.
void torn_lose_power(uint64_t *seed) {
    char path[600];
    for (int i = 0; i < n_images; i++) {
        for (struct written *at = images[i].first; at != NULL; at = at->next) {
            uint64_t dice = job_dice(seed) % 3;
            int sectors = at->length / SECTOR + 1;
            int part = SECTOR * (int)(job_dice(seed) % (uint64_t)sectors);
            if (dice == 0) apply(&images[i], at, at->length);
            if (dice == 1 && at->bytes != NULL) apply(&images[i], at, part);
        }
        put_back(&images[i]);
        // The index of the log lay in memory only.
        (void)snprintf(path, sizeof path, "%.*s", (int)sizeof path - 1, images[i].path);
        char *wal = strstr(path, "-wal");
        if (wal != NULL) *wal = '\0';
        (void)snprintf(path + strlen(path), sizeof path - strlen(path), "-shm");
        (void)unlink(path);
    }
    happened = false;
    writes_left = 0;
    forget_images();
}
