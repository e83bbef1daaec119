"""What every test has: a user's folder of its own, so that no test touches a real shop file; which tests are slow."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile("steady", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("steady")


@pytest.fixture(scope="session", autouse=True)
def _own_shop_for_notebooks(tmp_path_factory):
    """Notebook kernels and other children of the test run take the folder from its environment."""
    patch = pytest.MonkeyPatch()
    patch.setenv("SPRINGPASS_SHOP", str(tmp_path_factory.mktemp("shop")))
    patch.setenv("PYTHONUTF8", "1")   # what a child prints is read as UTF-8 on every system
    yield
    patch.undo()


TESTS = Path(__file__).parent
# the slowest, near half the time of a run without the browser, as `pytest --durations=60` last named them
SLOW = {
    "independent/test_batches.py::test_the_chance_that_all_are_good",
    "independent/test_synthetic_lathe.py::test_the_tailstock_by_two_collars_between_centres",
    "independent/test_synthetic_lathe.py::test_the_taper_by_two_collars",
    "independent/test_stickout_by_dice.py::test_longest_slimmest_deepest_by_dice",
    "independent/test_differential_equations.py::test_a_cut_called_stable_dies_away",
    "independent/test_differential_equations.py::test_gripped_rod_against_a_pde_solver",
    "independent/test_differential_equations.py::test_the_lobes_against_the_delay_equation",
    "independent/test_solid_elements.py::test_boring_out_brings_back_the_profile_that_finite_elements_released",
    "independent/test_solid_elements.py::test_short_piece_moves_otherwise_and_the_widened_range_covers_it",
    "independent/test_solid_elements.py::test_three_diameters_are_long_enough_away_from_the_ends",
    "test_abuse.py::test_any_bytes_at_all",
    "test_abuse.py::test_any_value_is_kept_as_it_is_or_refused",
    "test_abuse.py::test_cut_off_at_every_byte",
    "test_abuse.py::test_one_byte_changed_anywhere",
    "test_any_order.py::test_twice_alone_and_backwards",
    "test_delivery.py::test_the_library_from_the_wheel_answers_away_from_the_project",
    "test_delivery.py::test_the_wheel_holds_every_module_and_every_table",
    "test_install.py::test_it_installs_into_an_empty_environment_and_answers_from_another_folder",
    "test_no_network.py::test_a_notebook_runs_with_only_its_own_computer_in_reach",
    "test_no_network.py::test_it_works_with_no_network_at_all",
    "test_no_network.py::test_the_library_at_work_with_every_door_shut",
    "test_outside.py::test_no_formula_and_no_model_is_without_an_outside_check",
    "test_pages.py::test_random_settings[plan_a_part]",
    "test_pictures_in_words.py::test_a_verdict_in_the_picture_is_in_the_words[plan_a_part]",
    "test_pictures_in_words.py::test_every_number_in_the_picture_is_also_said[plan_a_part]",
    "test_pictures_in_words.py::test_nothing_is_told_by_colour_alone[plan_a_part]",
    "test_abuse.py::test_killed_at_random_moments_by_the_hundred",
    "test_hostile_pages.py::test_every_end_and_option_is_answered[plan_a_part]",
    "test_pictures_in_words.py::test_nothing_is_called_by_its_colour[plan_a_part]",
    "test_plans.py::test_nothing_is_found_on_forty_random_parts",
    "test_plans.py::test_nothing_is_found_on_five_hundred_random_parts",
    "test_pocket.py::test_a_card_that_would_be_too_large_loses_its_tables_then_steps",
    "test_pocket.py::test_the_command_line",
    "test_pocket.py::test_the_largest_cards_stay_under_three_megabytes",
    "test_abuse.py::test_a_pasted_megabyte_is_answered_in_a_second",
    "test_abuse.py::test_a_shop_file_edited_by_hand_with_any_type",
    "test_readme.py::test_answers_on_the_bench_pages_card",
    "test_practice.py::test_stills_are_the_examples_whatever_the_reader_has_done",
    "test_shop.py::test_a_kernel_killed_in_the_middle_of_saving_loses_nothing_it_said_was_saved",
    "test_shop.py::test_a_reader_never_sees_half_a_file",
    "test_shop.py::test_two_notebooks_changing_one_file_lose_nothing",
    "test_stickout.py::test_every_stickout_up_to_the_longest_holds",
    "test_stickout.py::test_the_best_change_made_gives_the_chance_it_promised",
    "test_stickout.py::test_what_is_better_never_lowers_the_chance[a shorter stickout-straight to size]",
    "test_stickout.py::test_what_is_better_never_lowers_the_chance[a stiffer bar-straight to size]",
    "test_stickout.py::test_what_is_better_never_lowers_the_chance[a stiffer holder-straight to size]",
    "test_stickout.py::test_what_is_better_never_lowers_the_chance[a thicker bar-straight to size]",
    "test_stickout.py::test_what_is_better_never_lowers_the_chance[a wider tolerance-straight to size]",
    "test_words_fit.py::test_words_run_neither_out_of_the_picture_nor_into_each_other[check_stickout]",
    "test_words_fit.py::test_words_run_neither_out_of_the_picture_nor_into_each_other[plan_a_part]",
}


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        inside = item.path.is_relative_to(TESTS)
        place = item.path.relative_to(TESTS).as_posix() if inside else item.path.name
        if {f"{place}::{item.name}", f"{place}::{item.name.partition('[')[0]}"} & SLOW:
            item.add_marker("slow")
