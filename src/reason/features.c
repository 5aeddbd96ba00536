// features.c - machine file to features.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "reason/features.h"

#define BIT(name) (1u << BW_HAS_##name)

enum { OF_HEAD, OF_MACHINE };

const struct bw_choice bw_feature_words[] = {
#define BW_X(name, word, text, of) {word, text},
    BW_FEATURES(BW_X)
#undef BW_X
        {NULL, NULL},
};

static const unsigned HEAD_FEATURES =
#define BW_X(name, word, text, of) (OF_##of == OF_HEAD ? BIT(name) : 0u) |
    BW_FEATURES(BW_X)
#undef BW_X
        0u;

bool bw_feature_of_head(int feature) { return (HEAD_FEATURES >> feature & 1u) != 0; }

const char *bw_feature_text(int feature) { return bw_feature_words[feature].help; }

struct bw_features bw_features_none(void) {
    return (struct bw_features){.heads = 0};
}

static unsigned head_features(const struct bw_head *head) {
    switch (head->contact) {
    case BW_STEEL_DRUM: return BIT(BELT) | BIT(DRUM) | BIT(STEEL_DRUM);
    case BW_RUBBER_DRUM: return BIT(BELT) | BIT(DRUM) | BIT(RUBBER_DRUM);
    case BW_PLATEN: return BIT(BELT) | BIT(PLATEN);
    case BW_SECTIONAL_PLATEN: return BIT(BELT) | BIT(PLATEN) | BIT(SECTIONAL);
    case BW_COMBINATION: return BIT(BELT) | BIT(DRUM) | BIT(PLATEN);
    case BW_BRUSH: return BIT(BRUSH);
    case BW_CROSS_BELT: return BIT(BELT) | BIT(CROSS_BELT);
    default: return 0;
    }
}

// What a head of this kind may have besides, the file not saying which.
static unsigned head_open(const struct bw_head *head) {
    bool combination = head->contact == BW_COMBINATION;
    if (!combination) return 0;
    bool hardness = head->drum != NULL && bw_known(head->drum->hardness);
    bool sections = head->platen != NULL && bw_known(head->platen->section_pitch);
    return (hardness ? 0 : BIT(STEEL_DRUM)) | BIT(RUBBER_DRUM) | (sections ? 0 : BIT(SECTIONAL));
}

struct bw_features bw_features_of(const struct bw_machine *machine) {
    struct bw_features f = {.heads = machine->heads.n};
    for (size_t h = 0; h < f.heads && h < BW_MAX_HEADS; h++) {
        const struct bw_head *head = bw_machine_head(machine, h);
        unsigned has = head_features(head), open = head_open(head);
        if (head->drum != NULL && bw_known(head->drum->hardness) && (has & BIT(DRUM)) != 0)
            has |= BIT(RUBBER_DRUM);
        if (head->platen != NULL && bw_known(head->platen->section_pitch)) has |= BIT(SECTIONAL);
        f.head_has[h] = has;
        f.head_lacks[h] = HEAD_FEATURES & ~has & ~open;
        f.head_name[h] = head->name;
        f.has |= has;
    }
    f.lacks = HEAD_FEATURES;
    for (size_t h = 0; h < f.heads && h < BW_MAX_HEADS; h++) f.lacks &= f.head_lacks[h];
    if (f.heads > 1)
        f.has |= BIT(TWO_HEADS);
    else
        f.lacks |= BIT(TWO_HEADS);
    if (machine->hold_downs.n > 0) f.has |= BIT(HOLD_DOWNS);
    if (machine->planer != NULL) f.has |= BIT(PLANER);
    return f;
}

unsigned bw_features_heads(const struct bw_features *features, unsigned needs) {
    if ((features->lacks & needs) != 0) return 0;
    if (features->heads == 0) return 1;
    unsigned heads = 0;
    for (size_t h = 0; h < features->heads && h < BW_MAX_HEADS; h++)
        if ((features->head_lacks[h] & needs) == 0) heads |= 1u << h;
    return heads;
}
