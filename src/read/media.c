// media.c - see media.h: documents are read here, all else by the jailed readers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/media.h"

#include "read/picture.h"
#include "read/profile.h"
#include "read/sound.h"

static void release_picture(void *picture) { bw_picture_free(picture); }

static bool load_picture(const struct bw_media_door *door, const struct bw_open_file *file,
                         const struct bw_binding *binding, struct bw_file *out,
                         struct bw_err *err) {
    const struct bw_picture_options options = {.unjailed = door != NULL && door->unjailed};
    struct bw_picture *picture = bw_arena_get(binding->arena, sizeof *picture);
    if (picture == NULL) return bw_fail_memory(err);
    if (!bw_picture_read_open(file->fd, file->path, &options, picture, err)) return false;
    if (!bw_arena_at_end(binding->arena, release_picture, picture)) {
        bw_picture_free(picture);
        return bw_fail_memory(err);
    }
    *out = (struct bw_file){.name = file->path, .content = picture};
    return true;
}

static void release_sound(void *sound) { bw_sound_free(sound); }

static bool load_sound(const struct bw_media_door *door, const struct bw_open_file *file,
                       const struct bw_binding *binding, struct bw_file *out, struct bw_err *err) {
    const struct bw_sound_options options = {.unjailed = door != NULL && door->unjailed};
    struct bw_sound *sound = bw_arena_get(binding->arena, sizeof *sound);
    if (sound == NULL) return bw_fail_memory(err);
    if (!bw_sound_read_open(file->fd, file->path, &options, sound, err)) return false;
    if (!bw_arena_at_end(binding->arena, release_sound, sound)) {
        bw_sound_free(sound);
        return bw_fail_memory(err);
    }
    *out = (struct bw_file){.name = file->path, .content = sound};
    return true;
}

static void release_profile(void *profile) { bw_profile_free(profile); }

static bool load_profile(const struct bw_media_door *door, const struct bw_open_file *file,
                         const struct bw_binding *binding, struct bw_file *out,
                         struct bw_err *err) {
    struct bw_profile *profile = bw_arena_get(binding->arena, sizeof *profile);
    if (profile == NULL) return bw_fail_memory(err);
    if (!bw_profile_read_open(file->fd, file->path, door != NULL && door->unjailed, profile, err))
        return false;
    if (!bw_arena_at_end(binding->arena, release_profile, profile)) {
        bw_profile_free(profile);
        return bw_fail_memory(err);
    }
    *out = (struct bw_file){.name = file->path, .content = profile};
    return true;
}

bool bw_media_load_open(const struct bw_media_door *door, const struct bw_open_file *file,
                        const struct bw_file_kind *kind, const struct bw_binding *binding,
                        struct bw_file *out, struct bw_err *err) {
    switch (kind->medium) {
    case BW_MEDIUM_PICTURE: return load_picture(door, file, binding, out, err);
    case BW_MEDIUM_PROFILE: return load_profile(door, file, binding, out, err);
    case BW_MEDIUM_SOUND: return load_sound(door, file, binding, out, err);
    default: return bw_load_open(file, kind, binding, out, err);
    }
}

bool bw_media_load(void *door, const struct bw_file_kind *kind, const char *name,
                   struct bw_file *out, struct bw_binding *binding, struct bw_err *err) {
    struct bw_open_file file;
    if (!bw_open_file(kind, name, binding, &file, err)) return false;
    bool done = bw_media_load_open(door, &file, kind, binding, out, err);
    bw_close_file(&file);
    return done;
}
