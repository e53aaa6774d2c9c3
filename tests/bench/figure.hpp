#pragma once

#include <algorithm>
#include <chrono>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace bench {

/// What a figure comes to: ours and the yardstick in the figure's unit, or why there is none.
struct Measured {
  double ours = 0, yardstick = 0;
  std::string not_measured; ///< the reason; empty: measured
};

/// A line of the table. Its ratio is ours over the yardstick, both from the same run.
struct Figure {
  std::string name;
  std::string what;                  ///< ours, beside what; at most 36 characters
  std::string unit;                  ///< of both
  double reach;                      ///< greatest ratio that counts as reached
  std::function<Measured()> measure; ///< takes from moments to minutes
};

/// Figures by family, each in a source of its own. A new family goes into main.cpp as well.
///@{
std::vector<Figure> kernel_figures();
std::vector<Figure> dense_figures();
std::vector<Figure> big_figures();
std::vector<Figure> study_figures();
std::vector<Figure> placement_figures();
std::vector<Figure> c_interface_figures();
///@}

/// Time that a call takes [s].
template <class Work>
double seconds(const Work& work) {
  const auto start = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// The least of what calls in a row return [s], as many as go on for a time [s], at least one.
template <class Timed>
double least_in(double time, const Timed& timed) {
  double least = timed();
  for (double spent = least; spent < time;) {
    const double again = timed();
    spent += again;
    least = std::min(least, again);
  }
  return least;
}

/// Calls both in turn, `repetitions` times, and keeps the least that each returns, times `scale`: what others
/// do on the machine only adds to a time. ours and yardstick return seconds, of what they want counted.
Measured race(int repetitions, double scale, const std::function<double()>& ours,
              const std::function<double()>& yardstick);

/// Keeps the compiler from leaving out what makes a value, and from knowing it.
template <class T>
void keep(T& value) {
  asm volatile("" : : "r"(&value) : "memory");
}

} // namespace bench
