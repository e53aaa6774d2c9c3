#include <vlm/study/twist_kernel.hpp>

#include <algorithm>
#include <iterator>
#include <string_view>

#include <vlm/flow/flow_kernel.hpp>
#include <vlm/force/responses.hpp>

namespace vlm {

extern const TwistKernel portable_twist_kernel, avx2_twist_kernel, avx512_twist_kernel;

TwistForms twist_forms(const Responses& responses, std::size_t surface) {
  const SurfaceForms &craft = responses.craft, &part = responses.parts[surface];
  TwistForms forms{};
  const auto set = [&](TwistLoad load, const Matrix& f) {
    const double q[] = {f(0, 0), 2 * f(0, 1), f(1, 1), 2 * f(0, 2), 2 * f(0, 3),
                        f(2, 2), 2 * f(2, 3), f(3, 3), 2 * f(1, 2), 2 * f(1, 3)};
    std::copy(std::begin(q), std::end(q), forms.q[load]);
  };
  set(load_x, craft.force[0]);
  set(load_z, craft.force[2]);
  set(load_pitch, craft.moment[1]);
  set(load_drag, craft.far_drag);
  set(load_surface_x, part.force[0]);
  set(load_surface_z, part.force[2]);
  return forms;
}

const TwistKernel* find_twist_kernel(const char* name) {
  if (find_flow_kernel(name) == nullptr)
    return nullptr;
#ifdef __x86_64__
  for (const TwistKernel* kernel : {&avx2_twist_kernel, &avx512_twist_kernel})
    if (std::string_view(name) == kernel->name)
      return kernel;
#endif
  return &portable_twist_kernel;
}

const TwistKernel& twist_kernel() {
  static const TwistKernel& kernel = *find_twist_kernel(flow_kernel().name);
  return kernel;
}

} // namespace vlm
