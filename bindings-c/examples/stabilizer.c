/* Sets the stabilizer of a case to a row of incidences, each at the lift that the case asks for, and says
 * which costs least drag among those that a rider can stand with.
 *
 *   cc stabilizer.c $(pkg-config --cflags --libs vlm-c) -o stabilizer
 *   ./stabilizer cases/lake-rescue/heron-880.toml
 */

#include <stdio.h>

#include <vlm/vlm.h>

#define DEGREES 57.29577951308232
#define COUNT 7

/* Ends the program's work at the first call that went wrong; what there is is freed all the same. */
#define TRY(call)                                                                                            \
  do {                                                                                                       \
    if ((status = (call)) != VLM_OK)                                                                         \
      goto end;                                                                                              \
  } while (0)

static int progress(size_t done, size_t total, void* user) {
  (void)user;
  fprintf(stderr, "%zu of %zu settings\n", done, total);
  return 0; /* anything else ends the study */
}

int main(int argc, char** argv) {
  double incidences[COUNT];
  const double no_twist = 0;
  const vlm_run run = {progress, NULL, 0, NULL, NULL};
  vlm_twist_study study = {0, NULL, incidences, COUNT, &no_twist, 1, {-0.09, 1}, {-0.06, 1}, {0.15, 1}};
  vlm_twist_point points[COUNT];
  vlm_twist_marks marks;
  vlm_case* craft = NULL;
  vlm_twist* twist = NULL;
  vlm_status status;
  size_t i;
  if (argc != 2) {
    fprintf(stderr, "usage: stabilizer CASE\n");
    return 2;
  }
  for (i = 0; i < COUNT; ++i)
    incidences[i] = ((double)i - 3) / DEGREES; /* radians, as everywhere */

  TRY(vlm_case_read(argv[1], &craft));
  TRY(vlm_case_find_surface(craft, "stabilizer", &study.surface));
  TRY(vlm_run_twist_study(craft, &study, &run, &twist));
  TRY(vlm_twist_points(twist, points, COUNT));
  TRY(vlm_twist_find_marks(twist, &marks));

  printf("incidence, deg   angle, deg   induced drag, CDi   centre of lift, mm   static margin, %%\n");
  for (i = 0; i < COUNT; ++i) {
    const vlm_twist_point* p = &points[i];
    if (p->alpha.defined && p->induced_drag_coefficient.defined && p->centre_of_lift.defined &&
        p->static_margin.defined)
      printf("%14.1f %12.3f %19.6f %20.1f %18.1f\n", p->incidence * DEGREES, p->alpha.value * DEGREES,
             p->induced_drag_coefficient.value, p->centre_of_lift.value * 1000, p->static_margin.value * 100);
  }
  if (marks.within_limits.defined)
    printf("least drag within the limits: %.1f deg\n", points[marks.within_limits.index].incidence * DEGREES);
  else
    printf("no incidence keeps the limits\n");

end:
  if (status != VLM_OK)
    fprintf(stderr, "stabilizer: %s\n", vlm_message());
  vlm_twist_free(&twist);
  vlm_case_free(&craft);
  return status != VLM_OK;
}
