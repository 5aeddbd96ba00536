// faults.h - every fault that can be made in a record's document, and whether it is told well.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The table is generated: from the fields come random valid documents, and into them one fault at a
// time, each kind of fault once at each path. A fault is told well when binding fails with the
// expected code, the path leads to the place of the fault, a mend is offered, and the output is
// untouched.
#ifndef TESTS_SUPPORT_FAULTS_H
#define TESTS_SUPPORT_FAULTS_H

#include "base/bind.h"

#include <stdint.h>

struct faults_report {
    size_t made;  // faults tried
    size_t fields;       // of the record and those below it
    size_t reached;      // of these, how many got a fault
    char unreached[80];  // a field that got none, as record.field
    char failed[900];    // the first fault that was told badly, and how
};

// Tries all faults in `documents` random documents of the record, and in up to twenty times as many
// while a field got none. False: see `failed`. A record
// whose rules no random document meets fails as well.
bool faults_check(const struct bw_record *record, uint64_t seed, size_t documents,
                  struct faults_report *out);

#endif
