-- Photos of jobs, apart from their changes: a job says what a photo shows, and this table holds the picture. Its name is
-- the SHA-256 of its content, so that the same picture is one and the same on every device.
create table photo (
  job text not null,
  name text not null,
  content bytea not null,
  small bytea not null,
  width integer not null,
  height integer not null,
  primary key (job, name)
);
