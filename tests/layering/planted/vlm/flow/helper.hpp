#pragma once

#include <Eigen/Dense>
#include <vlm/base/upward.hpp>
