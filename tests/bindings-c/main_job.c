/* The main job in C99: a craft read from a file, one built in memory, a polar, a twist study, a trim. Prints
 * figures by name in hexadecimal, to the last bit, for a test to compare. */

#include <stdio.h>
#include <stdlib.h>

#include <vlm/vlm.h>

#define COUNT(array) (sizeof(array) / sizeof *(array))

static void done(vlm_status status) {
  if (status != VLM_OK) {
    fprintf(stderr, "%s\n", vlm_message());
    exit(1);
  }
}

static void tell(const char* name, double value) {
  printf("%s %a\n", name, value);
}

static void tell_forces(const char* name, const vlm_forces* forces) {
  printf("%s ", name);
  tell("lift", forces->lift_coefficient);
  printf("%s ", name);
  tell("drag", forces->induced_drag_coefficient);
  printf("%s ", name);
  tell("pitch", forces->pitching_moment_coefficient);
  printf("%s ", name);
  tell("roll", forces->rolling_moment_coefficient);
  printf("%s ", name);
  tell("neutral_point", forces->neutral_point.value);
}

static void solve_one_in_memory(void) {
  vlm_case* craft = NULL;
  vlm_solution* solution = NULL;
  vlm_surface wing = {"wing", {0, 0, 0}, 0, VLM_CURVE_SMOOTH, 1, 0, 16, 5};
  vlm_station stations[] = {
      {0, 0, 0, 0.14, 0, 0}, {0.3, 0, 0.01, 0.11, 0, 0}, {0.4, -0.02, 0.03, 0.05, -0.05, 0}};
  vlm_condition condition = {0.07, 0.02, 0.01, 0, 0.005};
  vlm_forces forces;
  size_t section, count;
  done(vlm_case_new("A wing by itself", &craft));
  done(vlm_case_add_naca_section(craft, "23012", &section));
  done(vlm_case_add_surface(craft, &wing, stations, COUNT(stations)));
  done(vlm_solve(craft, 0.05, VLM_MOTIONS_ALL, 0, &solution));
  done(vlm_solution_num_panels(solution, &count));
  tell("wing panels", (double)count);
  done(vlm_solution_forces(solution, &condition, &forces));
  tell_forces("wing", &forces);
  done(vlm_solution_free(&solution));
  done(vlm_case_free(&craft));
}

static int count_points(size_t points_done, size_t total, void* user) {
  (void)total;
  *(size_t*)user = points_done;
  return 0;
}

int main(int argc, char** argv) {
  static const vlm_condition angles[] = {{0, 0, 0, 0, 0}, {0.03, 0, 0, 0, 0}, {0.06, 0, 0, 0, 0}};
  static const double incidences[] = {-0.03, -0.01}, twists[] = {-0.02, 0, 0.02}, speeds[] = {6, 8};
  vlm_case* craft = NULL;
  vlm_polar* polar = NULL;
  vlm_twist* twist = NULL;
  vlm_trim* trim = NULL;
  vlm_operation operation = {{7, 1}, {0, 0}, {0, 0}};
  vlm_twist_study study = {0,      NULL,   incidences, COUNT(incidences), twists, COUNT(twists),
                           {0, 0}, {0, 0}, {0, 0}};
  vlm_forces forces[COUNT(angles)];
  vlm_twist_point settings[COUNT(incidences) * COUNT(twists)];
  vlm_twist_marks marks;
  vlm_trim_point balance[COUNT(speeds)];
  vlm_speed_mark speed_marks[VLM_NUM_MARKS];
  size_t points_done = 0;
  vlm_run run = {count_points, NULL, 1, NULL, NULL};
  if (argc != 2)
    return 2;
  run.user = &points_done;

  solve_one_in_memory();

  done(vlm_case_read(argv[1], &craft));
  done(vlm_run_polar(craft, angles, COUNT(angles), NULL, &run, &polar));
  tell("polar told", (double)points_done);
  done(vlm_polar_forces(polar, forces, COUNT(angles)));
  tell_forces("polar", &forces[2]);
  done(vlm_polar_free(&polar));

  done(vlm_case_set_operation(craft, &operation));
  done(vlm_case_find_surface(craft, "stabilizer", &study.surface));
  done(vlm_run_twist_study(craft, &study, NULL, &twist));
  done(vlm_twist_points(twist, settings, COUNT(settings)));
  done(vlm_twist_find_marks(twist, &marks));
  tell("twist drag", settings[4].induced_drag_coefficient.value);
  tell("twist centre", settings[4].centre_of_lift.value);
  tell("twist least", (double)marks.least_drag.index);
  done(vlm_twist_free(&twist));

  done(vlm_run_trim(craft, speeds, COUNT(speeds), NULL, &trim));
  done(vlm_trim_points(trim, balance, COUNT(speeds)));
  done(vlm_trim_marks(trim, speed_marks, VLM_NUM_MARKS));
  tell("trim station", balance[1].load_station);
  tell("trim drag", balance[1].drag);
  tell("trim take_off", speed_marks[VLM_TAKE_OFF].speed);
  done(vlm_trim_free(&trim));

  done(vlm_case_free(&craft));
  return 0;
}
