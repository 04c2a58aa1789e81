#!/usr/bin/env node
import '../dist/program/main.js';
