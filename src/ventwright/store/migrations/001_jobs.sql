-- Jobs as lists of changes. Plain SQL that SQLite and PostgreSQL both take: "bytea" is the name of PostgreSQL's type,
-- and SQLite keeps bytes as bytes under any name.

-- Every change of every job. Nothing in this table is ever altered or deleted.
create table change (
  id text primary key,
  job text not null,
  number bigint not null,
  made_at text not null,
  device text not null,
  made_by text not null,
  does text not null,
  path text not null,
  value text not null,
  known text not null,
  arrived bigint not null
);

create index change_of_job on change (job, number, id);

-- What came in after a certain moment, for another device that asks for it.
create unique index change_arrived on change (arrived);

-- What the list of jobs shows, and what this store alone knows of a job: whether it was put aside here.
create table job (
  id text primary key,
  site text not null,
  tag text not null,
  sought text not null,
  created text not null,
  updated text not null,
  archived text,
  revision bigint not null,
  last_number bigint not null
);

create table setting (
  name text primary key,
  value text not null
);

-- Equipment and weather files of a person's own; those of the job '' are for all jobs.
create table own_file (
  job text not null,
  name text not null,
  content bytea not null,
  primary key (job, name)
);

-- How many changes have arrived: counted in a row, so that whoever writes next waits for whoever writes now.
create table arrival (
  name text primary key,
  reached bigint not null
);

insert into arrival (name, reached) values ('change', 0);
