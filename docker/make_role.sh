#!/bin/sh
# Makes the role that the service is, and its database. The image's own role is a superuser, which
# the fence between shops does not hold.
set -eu
psql --username "${POSTGRES_USER:-postgres}" --dbname postgres --no-psqlrc \
  --set ON_ERROR_STOP=1 --set password="$POSTGRES_PASSWORD" <<'SQL'
CREATE ROLE mouldwright LOGIN PASSWORD :'password';
CREATE DATABASE mouldwright OWNER mouldwright;
SQL
