"""What must hold of decisions and evidence, beside the checks of the facts (catalog.workbook.checks)."""

from fitment.sheet_checks.evidence import check_enquiries, check_job_times, check_tolerance_classes, check_wheels
from fitment.sheet_checks.test_fits import check_test_fits

CHECKS = (check_test_fits, check_job_times, check_wheels, check_enquiries, check_tolerance_classes)
