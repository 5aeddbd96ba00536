// render.c - writes the example photos and the truth about them into a folder.
// SPDX-License-Identifier: GPL-3.0-or-later
//
//   render_photos FOLDER [NAME]
#include "photos/jpeg.h"
#include "photos/photos.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static FILE *create(const char *folder, const char *name, const char *end) {
    char path[1000];
    (void)snprintf(path, sizeof path, "%s/%s%s", folder, name, end);
    FILE *file = fopen(path, "wb");
    if (file == NULL) perror(path);
    return file;
}

static bool close_file(FILE *file) {
    bool well = ferror(file) == 0;
    return fclose(file) == 0 && well;
}

static bool render(const char *folder, const struct photo *photo) {
    struct bw_arena *arena = bw_arena_new(0);
    struct bw_err err = {0};
    struct pixels pixels;
    if (arena == NULL || !scene_render(arena, &photo->scene, &pixels, &err)) {
        bw_err_print(&err, stderr);
        bw_arena_free(arena);
        return false;
    }
    size_t size;
    unsigned char *bytes = jpeg_write(&pixels, photo->scene.camera.quality, &size);
    FILE *file = create(folder, photo->name, ".jpg");
    bool done = file != NULL && fwrite(bytes, 1, size, file) == size;
    if (file != NULL) done = close_file(file) && done;
    free(bytes);
    bw_arena_free(arena);
    return done;
}

// The pencil lines where they cross the picture's middle, for --line.
static void write_line(FILE *file, const struct scene *scene) {
    double a[2], b[2];
    camera_pixel(&scene->camera, scene->pencil.first, scene->camera.y, &a[0], &a[1]);
    camera_pixel(&scene->camera, scene->pencil.second, scene->camera.y, &b[0], &b[1]);
    (void)fprintf(file, ",\"%.0f,%.0f %.0f,%.0f is 500 mm\"\n", a[0], a[1], b[0], b[1]);
}

static bool write_truth(const char *folder) {
    FILE *file = create(folder, "truth", ".csv");
    if (file == NULL) return false;
    (void)fputs("photo,machine,feed [m/min],source,pitch [mm],line\n", file);
    for (const struct photo *photo = photos_all(); photo->name != NULL; photo++) {
        for (int i = 0; i < photo->n_marks || i == 0; i++) {
            (void)fprintf(file, "%s,%s,%.4f,", photo->name, photo->machine, photo->feed * 60);
            if (i < photo->n_marks)
                (void)fprintf(file, "%s,%.4f", photo->marks[i].source, photo->marks[i].pitch * 1e3);
            else
                (void)fputc(',', file);
            write_line(file, &photo->scene);
        }
    }
    return close_file(file);
}

int main(int argc, char **argv) {
    if (argc < 2 || argc > 3) {
        (void)fputs("usage: render_photos FOLDER [NAME]\n", stderr);
        return 2;
    }
    bool done = true;
    for (const struct photo *photo = photos_all(); photo->name != NULL; photo++)
        if (argc == 2 || strcmp(argv[2], photo->name) == 0) done = render(argv[1], photo) && done;
    if (argc == 2) done = write_truth(argv[1]) && done;
    return done ? 0 : 1;
}
