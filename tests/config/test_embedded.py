import pytest
from django.db import connection


@pytest.mark.django_db
def test_database_is_postgresql_18():
    with connection.cursor() as cursor:
        cursor.execute("SHOW server_version_num")
        assert int(cursor.fetchone()[0]) >= 180000
