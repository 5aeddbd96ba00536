// airflow.h - the study `airflow`, see airflow.c.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_AIRFLOW_AIRFLOW_H
#define BW_STUDY_AIRFLOW_AIRFLOW_H

#include "study/study.h"

extern const struct bw_study bw_study_airflow;

#endif
