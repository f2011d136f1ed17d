#include "app/evidence_farm.h"

struct accreditation_list {
    struct evidence_accreditation *items;
    size_t count;
    size_t capacity;
};

/* One paper of a laboratory, by one of its names: a row for each parameter and method named. */
static void accreditation_add(struct arena *mem, struct accreditation_list *list,
                              const char *made_by, const struct farm_accreditation *from)
{
    size_t parameters = from->parameter_count > 0 ? from->parameter_count : 1;
    size_t methods = from->method_count > 0 ? from->method_count : 1;

    for (size_t i = 0; i < parameters; i++) {
        for (size_t j = 0; j < methods; j++)
            LIST_ADD(mem, list,
                     ((struct evidence_accreditation){
                         .made_by = made_by,
                         .number = from->number,
                         .parameter = from->parameter_count > 0 ? from->parameters[i] : NULL,
                         .method = from->method_count > 0 ? from->methods[j] : NULL,
                         .from = from->from,
                         .to = from->to}));
    }
}

static void accreditations_fill(struct arena *mem, const struct farm *farm,
                                struct evidence *evidence)
{
    struct accreditation_list list = {.count = 0};

    for (size_t i = 0; i < farm->laboratories.count; i++) {
        const struct farm_laboratory *laboratory = &farm->laboratories.items[i];

        for (size_t j = 0; j < laboratory->written_as_count; j++) {
            for (size_t k = 0; k < laboratory->accreditation_count; k++)
                accreditation_add(mem, &list, laboratory->written_as[j],
                                  &laboratory->accreditations[k]);
        }
    }
    evidence->accreditations = list.items;
    evidence->accreditation_count = list.count;
}

static void tides_fill(struct arena *mem, const struct farm *farm, struct evidence *evidence)
{
    struct evidence_tides *list = ARENA_ARRAY(mem, struct evidence_tides, farm->tide_tables.count);

    for (size_t i = 0; i < farm->tide_tables.count; i++) {
        const struct farm_tide_table *table = &farm->tide_tables.items[i];

        list[i] = (struct evidence_tides){table->key, table->tides, table->tide_count};
    }
    evidence->tide_tables = list;
    evidence->tide_table_count = farm->tide_tables.count;
}

static void counters_fill(struct arena *mem, const struct farm *farm, struct evidence *evidence)
{
    struct evidence_counter *list = ARENA_ARRAY(mem, struct evidence_counter, farm->counters.count);

    for (size_t i = 0; i < farm->counters.count; i++) {
        const struct farm_counter *counter = &farm->counters.items[i];

        list[i] = (struct evidence_counter){.station = counter->station,
                                            .parameter = counter->parameter,
                                            .size = counter->size,
                                            .multiplier = counter->multiplier,
                                            .most_per_day = counter->most_per_day,
                                            .share_over_days = counter->share_over_days,
                                            .replaced_at = counter->replaced_at,
                                            .replaced_count = counter->replaced_count};
    }
    evidence->counters = list;
    evidence->counter_count = farm->counters.count;
}

void evidence_farm_fill(struct arena *mem, const struct farm *farm, struct evidence *evidence)
{
    accreditations_fill(mem, farm, evidence);
    tides_fill(mem, farm, evidence);
    counters_fill(mem, farm, evidence);
}
