#pragma once

#include <functional>

#include <Eigen/Core>

namespace vlm {

/// Solves A·x = right, one column a system, by the flexible generalised minimal residual method without
/// restart (Saad, SIAM J. Sci. Comput. 14, 1993): preconditioned from the right, and what the preconditioner
/// gives is kept, so that single precision will do for it. Columns go side by side, so that one pass over A
/// serves them all, and each is left alone once ‖right − A·x‖ ≤ allowed in it [columns]. After `most` steps
/// what has been found is returned; the caller looks at the residual.
Eigen::MatrixXd minimal_residual(const std::function<Eigen::MatrixXd(const Eigen::MatrixXd&)>& multiply,
                                 const std::function<Eigen::MatrixXf(const Eigen::MatrixXd&)>& precondition,
                                 const Eigen::MatrixXd& right, const Eigen::RowVectorXd& allowed, int most);

} // namespace vlm
