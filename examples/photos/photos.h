// photos.h - the example photos: what each shows, and the truth behind it.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef PHOTOS_PHOTOS_H
#define PHOTOS_PHOTOS_H

#include "photos/scene.h"

// The truth about one set of marks.
struct photo_mark {
    const char *source;  // as `beltwright rates --json` names it: "head2.splice"
    double pitch;        // m on the panel, where it does not slip
};
struct photo {
    const char *name;     // of the file, without its end
    const char *machine;  // of the machine file, without its end
    const char *what;     // one line for the table
    double feed;          // m/s, true
    struct photo_mark marks[2];
    int n_marks;
    struct scene scene;
};

// All example photos, NULL in the last place's name.
const struct photo *photos_all(void);

#endif
