/*
 * Additions on a real database: what was put in, its corrections and takings back.
 */
#include <string.h>

#include "app/additions.h"
#include "base/str.h"
#include "harness/farm.h"

static struct addition_order urea(void)
{
    return (struct addition_order){.station = "tank",
                                   .kind = "fertiliser",
                                   .amount = "25 kg",
                                   .product = "urea",
                                   .nitrogen = "46",
                                   .withhold = "0",
                                   .at = test_at("2026-05-04 09:00"),
                                   .until = test_at("2026-05-04 09:00")};
}

static struct addition added(struct test_farm *farm, const struct addition_order *order)
{
    struct addition addition = {0};
    struct err err = ERR_INIT;

    assert_done(addition_add(farm->db, farm->mem, &farm->open, order, &farm->act, &addition, &err),
                &err);

    return addition;
}

static struct additions all_of(struct test_farm *farm)
{
    struct additions all = {0};
    struct err err = ERR_INIT;

    assert_done(
        additions_read(farm->db, farm->mem, &farm->open, INSTANT_NONE, INSTANT_NONE, &all, &err),
        &err);

    return all;
}

static void an_addition_comes_back_digit_for_digit(void **state)
{
    struct test_farm *farm = *state;
    struct addition_order order = urea();
    struct additions all;

    order.amount = "25.0 kg";
    assert_int_equal(added(farm, &order).number, 1);
    all = all_of(farm);
    assert_int_equal(all.count, 1);
    assert_string_equal(decimal_text(farm->mem, all.items[0].amount), "25.0");
    assert_string_equal(all.items[0].unit, "kg");
    assert_true(all.items[0].nitrogen_known);
    assert_false(all.items[0].phosphorus_known);
    assert_int_equal(all.items[0].withhold_hours, 0);
    assert_string_equal(all.items[0].person, "pat");
    assert_true(addition_stands(&all.items[0]));
    assert_int_equal(test_number(farm, "select count(*) from ledger where farm_id = $1 and kind = "
                                       "'addition'"),
                     1);
}

static void a_correction_stands_in_place_of_the_first_which_stays(void **state)
{
    struct test_farm *farm = *state;
    struct addition_order order = urea();
    struct additions all;
    struct addition out = {0};
    struct err err = ERR_INIT;

    added(farm, &order);
    order.amount = "20 kg";
    order.instead_of = "1";
    order.reason = "one bag of 20";
    assert_int_equal(added(farm, &order).number, 2);
    all = all_of(farm);
    assert_int_equal(all.count, 2);
    assert_false(addition_stands(&all.items[0]));
    assert_int_equal(all.items[0].replaced_by, 2);
    assert_string_equal(decimal_text(farm->mem, all.items[0].amount), "25");
    assert_true(addition_stands(&all.items[1]));
    /* The first can't be corrected again, nor taken back. */
    assert_false(addition_add(farm->db, farm->mem, &farm->open, &order, &farm->act, &out, &err));
    assert_int_equal(err.code, ERR_INVALID);
    err = ERR_INIT;
    assert_false(
        addition_take_back(farm->db, farm->mem, &farm->open, "1", "words", &farm->act, &out, &err));
    assert_int_equal(err.code, ERR_INVALID);
}

static void a_volume_has_no_mass(void **state)
{
    struct test_farm *farm = *state;
    struct addition_order order = urea();
    struct addition addition;
    double kg = 0;

    order.amount = "500 g";
    addition = added(farm, &order);
    assert_true(addition_kg(farm->mem, farm->units, &addition, &kg));
    assert_true(kg > 0.4999 && kg < 0.5001);
    order.amount = "2 L";
    addition = added(farm, &order);
    assert_false(addition_kg(farm->mem, farm->units, &addition, &kg));
}

static void who_may_only_read_corrects_nothing(void **state)
{
    struct test_farm *farm = *state;
    struct act rory = test_act("rory", "2026-07-10 12:00");
    struct addition_order order = urea();
    struct addition out = {0};
    struct err err = ERR_INIT;

    assert_done(addition_add(farm->db, farm->mem, &farm->open, &order, &rory, &out, &err), &err);
    assert_false(
        addition_take_back(farm->db, farm->mem, &farm->open, "1", "words", &rory, &out, &err));
    assert_int_equal(err.code, ERR_DENIED);
}

static void a_lost_connection_leaves_no_half_of_an_addition(void **state)
{
    struct test_farm *farm = *state;
    struct addition_order order = urea();
    char *before = test_state(farm);

    for (int n = 1;; n++) {
        struct addition out = {0};
        struct err err = ERR_INIT;

        db_fault_after(n);

        bool done = addition_add(farm->db, farm->mem, &farm->open, &order, &farm->act, &out, &err);

        db_fault_after(0);
        if (done)
            break;
        assert_int_equal(err.code, ERR_UNAVAILABLE);
        test_state_same(before, test_state(farm), "after a lost connection");
        assert_true(n < 100);
    }
    assert_int_equal(all_of(farm).count, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(an_addition_comes_back_digit_for_digit),
        FARM_TEST(a_correction_stands_in_place_of_the_first_which_stays),
        FARM_TEST(a_volume_has_no_mass),
        FARM_TEST(who_may_only_read_corrects_nothing),
        FARM_TEST(a_lost_connection_leaves_no_half_of_an_addition),
    };

    return cmocka_run_group_tests_name("app/additions", tests, test_farms_setup,
                                       test_farms_teardown);
}
