// naming.h - sources by the words a technician uses for them.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SOURCE_NAMING_H
#define BW_STUDY_SOURCE_NAMING_H

#include "base/buffer.h"
#include "machine/model.h"

// True where `words` names the source: its id ("head2.splice"), its name, or the kind of part
// with or without its head ("splice", "drum of head 1"). Case does not matter.
bool source_is_named(const struct bw_source *source, const char *words);

// Fails with BW_NOT_FOUND and the names that would do.
bool source_name_unknown(struct bw_arena *arena, const struct bw_model *model, const char *words,
                         struct bw_err *err);

#endif
