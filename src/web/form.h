// form.h - the form of any record, made from its description; and what was sent, as JSON.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A field's control is named by its path: "feed", "crate.mass", "marks.0.pitch". Beside it
// "feed.by" is how it was measured; a file is "machine" (sent), "machine.kept" (one of the server's
// folder) or "machine.text" (typed). What lies deeper than one group comes as a file.
#ifndef BW_WEB_FORM_H
#define BW_WEB_FORM_H

#include "base/err.h"
#include "base/field.h"
#include "web/exchange.h"

// Items of a list that a form shows at most; more come as a file.
#define BW_MAX_FORM_ITEMS 40

// What went wrong, as worker.h tells it; all "" when nothing did.
struct bw_form_fault {
    const char *field;  // a path as in bw_err: "marks[0].pitch"
    const char *what, *value, *mend;
};

// Writes the controls with what the exchange brought in them; the fault stands at its field. What
// is needed comes first, and readings where nothing is; the rest is folded away.
void bw_form_write(const struct bw_exchange *exchange, const struct bw_record *record,
                   const struct bw_form_fault *fault, struct bw_buffer *out);

// What was sent, as the JSON of the record, and its files with bw_exchange_file. Error: BW_INPUT (a
// kept file that is not there), BW_LIMIT (too many files), BW_MEMORY.
bool bw_form_read(struct bw_exchange *exchange, const struct bw_record *record,
                  struct bw_buffer *json, struct bw_err *err) BW_CHECKED;
// Items of a list that the form shows: as many as were sent, at least one.
size_t bw_form_items(const struct bw_exchange *exchange, const struct bw_field *field);
// The field has one control: it is no group.
bool bw_form_is_plain(const struct bw_field *field);

#endif
