// registry.c - the list of studies. A new study is one folder and one line here.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/airflow/airflow.h"
#include "study/belt/belt.h"
#include "study/ducts/ducts.h"
#include "study/listen/listen.h"
#include "study/marks/marks.h"
#include "study/rates/rates.h"
#include "study/sequence/sequence.h"
#include "study/shopair/shopair.h"
#include "study/source/source.h"
#include "study/study.h"
#include "study/thickness/thickness.h"
#include "study/trace/trace.h"
#include "study/wear/wear.h"

#include <string.h>

#define MOST_STUDIES 32

// In the order a person would look for them. The rest of the list is room for tests
// (bw_studies_add).
static const struct bw_study *studies[MOST_STUDIES + 1] = {
    &bw_study_source,
    &bw_study_marks,
    &bw_study_rates,
    &bw_study_listen,
    &bw_study_trace,
    &bw_study_thickness,
    &bw_study_sequence,
    &bw_study_belt,
    &bw_study_wear,
    &bw_study_airflow,
    &bw_study_ducts,
    &bw_study_shopair,
    NULL,
};

const struct bw_study *const *bw_studies(void) { return studies; }

const struct bw_study *bw_study_find(const char *name) {
    for (size_t i = 0; studies[i] != NULL; i++)
        if (strcmp(studies[i]->name, name) == 0) return studies[i];
    return NULL;
}

bool bw_studies_add(const struct bw_study *study) {
    size_t n = 0;
    while (studies[n] != NULL) n++;
    if (n == MOST_STUDIES) return false;
    studies[n] = study;
    return true;
}
