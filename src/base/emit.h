// emit.h - records out: JSON, and the JSON Schema that describes it, driven by the same fields.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_EMIT_H
#define BW_BASE_EMIT_H

#include "base/field.h"
#include "base/json.h"

// Writes the record as a JSON object; `shape` ("rates/1") first when not NULL. Quantities become
// {"value", "sd", "unit"} in the dim's SI display unit (NUMBER and RATIO without sd: a bare number,
// RATIO as a fraction); "by" when a way was named. What is not given is left out. Reading the
// result back gives an equal record.
void bw_emit_record(struct bw_json *json, const struct bw_record *record, const void *value,
                    const char *shape);

// Writes JSON Schema (draft 2020-12) for the record; inner records in $defs by name.
void bw_emit_schema(struct bw_json *json, const struct bw_record *record, const char *shape);

#endif
