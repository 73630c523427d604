"""What must hold of decisions and evidence, beside the checks of the facts (catalog.workbook.checks)."""

from fitment.sheet_checks.enquiries import check_enquiries
from fitment.sheet_checks.job_times import check_job_times
from fitment.sheet_checks.test_fits import check_test_fits
from fitment.sheet_checks.tolerance_classes import check_tolerance_classes
from fitment.sheet_checks.wheels import check_wheels

CHECKS = (check_test_fits, check_job_times, check_wheels, check_enquiries, check_tolerance_classes)
